# How well colours last: tests as records, their grades, what is due.
hanklab init --dyer Mine
q() { "$@" >/dev/null 2>&1; }
no() {
    hanklab "$@"
    echo "exit $?"
}
read_as() { # SKEIN PART DAY LAB [MORE...]
    skein=$1 part=$2 day=$3 lab=$4
    shift 4
    hanklab reading add --skein "$skein" --part "$part" --on "$day" --lab "$lab" \
        --source instrument --illuminant D50 --observer 2 --geometry d/8 \
        --instrument Bench --u 0.3,0.2,0.2 "$@" >/dev/null 2>&1
}
pot() { # DYE MORDANT
    q hanklab log "$1" --date 2025-05-01 --dyestuff "$1: 60 %" \
        --mordant "$2: 12 %" --fibre "two-ply wool" \
        --skein "weight=20 g" --skein "weight=20 g"
}
pot madder alum
pot weld alum
pot tansy iron
hanklab fastness
echo "- a card half covered in a window; a wash"
hanklab test add 1 --start 2025-06-01 --due 2025-08-01 --exposure "south window, half covered"
q hanklab test add 3 --start 2025-06-01 --due 2025-08-01 --end 2025-08-02 --exposure "south window, half covered"
q hanklab test add 5 --kind wash --start 2025-06-10 --end 2025-06-10 --exposure "40 degrees, olive soap"
q hanklab test add 6 --kind rub
read_as 1 whole 2025-05-10 42,45,28
read_as 1 covered 2025-08-01 42,44.8,27.9
read_as 1 exposed 2025-08-01 44.5,41,26
read_as 3 covered 2025-08-01 80,-3,60
read_as 3 exposed 2025-08-01 84,-2,45
read_as 5 whole 2025-06-09 38,5,25
read_as 5 whole 2025-06-12 38.2,5,24.8
hanklab fastness
echo "- for programs"
hanklab fastness 1 --json
hanklab fastness --csv
echo "- what is due"
hanklab fastness --due
q hanklab test edit '#1' --end 2025-08-03
hanklab fastness --due
soon=$(date -u -d +3days +%F) later=$(date -u -d +20days +%F)
q hanklab test add 2 --start 2025-09-01 --due "$soon"
q hanklab test add 4 --start 2025-09-01 --due "$later"
hanklab fastness --due | sed "s/$soon/SOON/"
echo "- one skein, one kind, one dyestuff"
hanklab fastness 5 | head -3
hanklab fastness --kind wash --csv | wc -l
hanklab fastness --dyestuff weld --csv | cut -d, -f2-4
echo "- what never slips in unsaid: wet, by eye, another light, before a later step"
read_as 6 whole 2025-05-10 40,5,25
q hanklab test edit '#4' --start 2025-06-01
read_as 6 whole 2025-07-01 44,5,20 --wet yes
hanklab fastness 6 --csv | tail -1 | cut -d, -f23
q hanklab reading add --skein 6 --on 2025-07-02 --lab 44,5,20 --source eye
hanklab fastness 6 --csv | tail -1 | cut -d, -f23
q hanklab reading add --skein 6 --on 2025-07-03 --lab 44,5,20 --source instrument --illuminant D65 --observer 10 --geometry d/8
hanklab fastness 6 --csv | tail -1 | cut -d, -f23
hanklab fastness 6 --light D65/10 --csv | tail -1 | cut -d, -f23
hanklab material add copper --kind modifier >/dev/null 2>&1
q hanklab treat wash 6 --date 2025-07-04
q hanklab treat dip 6 --date 2025-07-05 --with "copper: 1 %"

read_as 6 whole 2025-07-06 44,5,20
hanklab fastness 6 --csv | tail -1 | cut -d, -f23
echo "- a reading may be named; it has to be of the skein"
no test edit '#4' --after '#2'
no test edit '#1' --before '#2' --after '#2'
hanklab test edit '#1' --before '#2'
no test edit '#1' --after '#2'
hanklab test edit '#1' --before ''
no test edit '#4' --due 2025-05-01
no test edit '#4' --end 2025-05-01
no test add 1 --kind sun
no fastness --kind sun
no fastness 99
echo "- dyed over since: the grade stays with what it was"
q hanklab treat dip 5 --date 2025-07-05 --with "copper: 1 %"
hanklab fastness 5 | head -2
hanklab fastness 5 | tail -2
echo "- a record like any other"
hanklab test list | sed "s|$soon|SOON|; s|$later|LATER|"
hanklab test show '#2'
hanklab test withdraw '#2'
hanklab test list | tail -1 | sed "s|$later|LATER|"
hanklab undo
hanklab history test '#2'
echo "- its note is found by its words"
hanklab test edit '#2' --note "the kitten lay on it"
hanklab find --text kitten --csv | cut -d, -f1
echo "- skeins that last"
hanklab find --fastness 3 --csv | cut -d, -f1
hanklab find --fastness "light 2" --csv | cut -d, -f1
hanklab list --fastness "wash 4-5" --csv | cut -d, -f1
no find --fastness 4.5
no find --fastness "sun 4"
echo "- as a picture"
hanklab fastness --kind light --svg light.svg >/dev/null
sed -n 's/.*<title>\(.*\)<\/title><desc>\(.*\)<\/desc>.*/\1\n  \2/p' light.svg
echo "- measured in a photo of two half covered cards; their truth is in fixtures/light"
f=$HERE/fixtures/light
q hanklab test add 4 --start 2025-08-10 --end 2025-08-26
half() { # PART ROW
    q hanklab measure "$f/two-cards.jpg" --part "$1" --card-lab 49.6,-0.3,0.5 \
        --card-box "$(sed -n 2p "$f/truth.csv" | cut -d, -f10-13)" \
        --skein "4=$(sed -n "$2p" "$f/truth.csv" | cut -d, -f3-6)"
}
half covered 4
half exposed 5
hanklab fastness 4 --csv | sed -n 2p | sed 's/"[^"]*"//' |
    awk -F, '{ print ($18 > 12.8 && $18 < 14.8 ? "as far apart as in truth, 14.0" : $18) }'
