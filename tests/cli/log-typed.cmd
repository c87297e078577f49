# What people really type.
hanklab init --dyer Mine
n=0
t() { # options of a new pot
    echo "- $*" | cut -c1-70
    n=$((n + 1))
    hanklab log "pot $n" "$@" 2>&1 | grep -v -e '^Kept' -e ' is new in the book'
}
echo "# ratios"
for words in "2:1" "1:2 (yarn:dye)" "1:2 (dye:yarn)" "200%" "2x" "equal weight"; do
    t --dyestuff "madder: $words" --skein "weight=50 g"
done
echo "# several dyestuffs, one unweighed, at different times"
t --dyestuff "weld: 60 g" --dyestuff tansy \
    --dyestuff "madder: 10 g; minute=30; added=after" --skein "weight=100 g"
echo "# dyed twice in one year, half of it"
t --skein "number=1; dipped=the lower half; colour=two yellows"
echo "# weights"
t --mordant "alum: 12 %" --skein "weight=60 g; weighed=wet"
t --mordant "alum: 12 %" --skein "weight=60 g wet"
t --mordant "alum: 9 g" --skein "weight=60 g, still damp"
t --mordant "alum: 12 %" --skein "weight=60 g; weighed=after"
t --mordant "alum: 12 %" --skein ""
t --mordant "alum: 12 %" --skein "weight=2 1/4 oz"
t --mordant "alum: 10 %" --skein "weight=1 lb 3 oz"
echo "# days"
t --date "summer 2019"
t --date "?/10/23"
t --date "unknown"
echo "# names"
hanklab log "Þorlákur ½ \"good glug\" 🧶" --dyestuff "karhunkääpä: a few" --mordant "?"
hanklab log "=SUM(A1:A9)" --dyestuff "?"
t --dyestuff "weld	pasted	cells: 5 g"
echo "# pH"
for ph in "7-8" "about 9" "5 -> 9" "strip looked green" "6,5 meter" ""; do
    t --ph "$ph"
done
echo "# mordants"
t --mordant "alum: a pinch" --skeins 1
t --mordant "alum: 10 %" --mordant "alum: 5 %" --skein "weight=100 g"
t --mordant "alum: 120 %" --skein "weight=10 g"
t --mordant "chrome: 3 %" --skein "weight=100 g"
t --mordant "none" --skeins 1
echo "# a fraction, several in one, and what no kitchen scale shows"
t --dyestuff "woad: 1/2" --dyestuff "birch, alder: 2:1" --skein "weight=20 g"
t --mordant "cream of tartar: 1 tsp" --dip "iron: 2 %" --skein "weight=7 g"
echo "# a note of 4000 characters"
t --note "$(printf '%4000s' '' | tr ' ' n)"
hanklab log x --note "$(printf '%20000s' '' | tr ' ' n)"
echo "exit $?"
