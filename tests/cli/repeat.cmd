# Can it be had again: the goes of a recipe, what differed, what is left.
hanklab init --dyer Mine
q() { "$@" >/dev/null 2>&1; }
no() {
    hanklab "$@"
    echo "exit $?"
}
read_as() { # SKEIN LAB
    q hanklab reading add --skein "$1" --lab "$2" --source instrument \
        --illuminant D50 --observer 2 --geometry d/8 --u 0.6,0.5,0.6
}
q hanklab material add madder --kind dyestuff
q hanklab supply add "allotment 2025" --material madder --amount "100 g" --state dry
go() { # NAME DATE PH HEAT AMOUNT SKEIN...
    name=$1 date=$2 ph=$3 heat=$4 amount=$5
    shift 5
    hanklab log "$name" --date "$date" --dyestuff "madder: $amount" --ph "$ph" \
        --temperature "$heat" --minutes 60 --fibre "two-ply wool" \
        --mordant "alum: 12 %" "$@" >/dev/null 2>&1
}
go one 2025-05-01 7 62 "60 %" --skein "weight=20 g" --skein "weight=20 g"
go two 2025-06-01 7.5 65 "58 %" --skein "weight=25 g"
go hot 2025-07-01 7 90 "60 %" --skein "weight=20 g"
go weak 2025-07-02 7 62 "20 %" --skein "weight=20 g"
q hanklab log vague --dyestuff "madder: 60 %" --mordant "alum: 12 %" --skein "weight=20 g"
read_as 1 42,45,28
read_as 2 43,44,27
read_as 3 40,46,29
read_as 4 36,38,22
hanklab repeat 1
echo "- made with one supply, of which 100 g less 24 and 14.5 g are left; used up"
hanklab dose list | grep madder
hanklab dose edit 2 --supply "allotment 2025"
hanklab dose edit 4 --supply "allotment 2025"
hanklab repeat 1 2>/dev/null | grep weight
hanklab supply edit "allotment 2025" --amount "45 g"
hanklab repeat 1 2>/dev/null | grep -A1 weight
echo "- fresh and dry are not added up; what is not weighed is said"
q hanklab dose edit 2 --supply ""
q hanklab supply add fresh --material madder --amount "300 g" --state fresh
hanklab repeat 1 2>/dev/null | grep weight
q hanklab supply add found --material madder --state dry
hanklab repeat 1 2>/dev/null | grep -A1 weight
hanklab repeat 1 --json 2>/dev/null | grep -o "\"left\":[^]]*]" | tail -1
q hanklab undo
q hanklab undo
q hanklab undo
echo "- what must agree is the dyer's to say"
hanklab repeat 1 --alike heat=30 --alike "dyestuff any"
hanklab repeat 1 --alike yarn=any --alike heat=any --alike dyestuff=any --alike mordant=any --alike ph=any
echo "- once, unmeasured, not dyed"
hanklab repeat 5
no repeat 99
q hanklab skein add spare
no repeat 7
no repeat 1 --alike heat
no repeat 1 --alike colour=same
no repeat 1 --alike supply=10
echo "- what was fresh is known dry by its factor alone"
q hanklab log herb --dyestuff "tansy: 80 g; state=fresh" --skein "number=70; weight=20 g"
hanklab repeat 70 2>/dev/null | grep -A2 "not recorded of this"
q hanklab supply add patch --material tansy --fresh-per-dry 5 --state fresh
tansy=$(hanklab dose list --csv | awk -F, '/tansy/ { print $1 }' | tr -d '#')
hanklab dose edit "$tansy" --supply patch
hanklab repeat 70 2>/dev/null | grep -c "weighs one dry"
echo "- what has nothing to do with it changes nothing"
hanklab repeat 1 >before 2>/dev/null
q hanklab log weld --dyestuff "weld: 100 %" --skein "number=60; weight=20 g; mordant=alum: 12 %"
read_as 60 80,-4,70
q hanklab log iron --dyestuff "madder: 60 %" --skein "number=61; mordant=iron: 4 %"
q hanklab reading add --skein 1 --lab 30,30,10 --wet yes --source instrument \
    --illuminant D50 --observer 2 --geometry d/8
q hanklab reading add --skein 2 --lab 10,0,0 --source eye
q hanklab reading add --skein 3 --lab 10,0,0 --source instrument \
    --illuminant D65 --observer 10 --geometry d/8
hanklab repeat 1 2>/dev/null | diff before - && echo same
echo "- dipped since, it is another recipe"
q hanklab treat dip 3 --with iron
hanklab repeat 1 2>/dev/null | grep dyeing
hanklab repeat 3 2>/dev/null | head -1
q hanklab undo
echo "- for programs"
hanklab repeat 1 --csv
hanklab repeat 1 --json
echo "- a pot's name"
hanklab log "only a pot" >/dev/null
hanklab repeat "only a pot"
