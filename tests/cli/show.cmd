# What the book knows of a skein, a pot, and any other record.
hanklab init --dyer Mine
hanklab log "madder, big kettle" --date 2026-05-03 --dyestuff "madder: 60 % dry" \
    --mordant "alum: 12 %" --assist "cream of tartar: 6 %" --ph "7-8 strip" \
    --temperature "160 F" --minutes "1 h" --cooled yes --vessel kettle \
    --water well --volume "1 gallon imperial" --fibre "grey wool" \
    --extraction "1 h; temperature=80; straining=bagged" \
    --skein "weight=22 g; code=A3; dip=iron: 2 %" --skein "weight=25 g" \
    --skein "lumpy; weight=3/4 oz; mordant=iron: 2 %; note=from the attic; old" \
    --note "smelt good" >/dev/null 2>&1
hanklab log --of 1 --round "exhaust 3" --skein "2; dipped=one half; colour=olive" \
    --dyestuff "weld: 20 g fresh; minute=15; added=after" --skein "" \
    --date "summer 2026" >/dev/null 2>&1
hanklab log "grandmother's" --mordant "chrome: 3 %" --skein "weight=100 g" \
    >/dev/null 2>&1
hanklab log blue --kind vat --vat-dips 3 --airing "15 min" --skein A3x \
    --dyestuff "indigo: 10 g; note=second feed" >/dev/null 2>&1
for which in 1 a3 2 lumpy 4 5 6; do
    echo "- show $which"
    hanklab show $which
done
echo "- show bath 1"
hanklab show bath 1
echo "- show bath blue"
hanklab show bath blue
echo "- others"
hanklab show material iron
hanklab show treatment 2
hanklab show dose "#1"
hanklab show water well --csv
hanklab show skein 3 --csv
hanklab show material madder --json | sed 's/"uid":"[0-9a-f]*"/"uid":"..."/'
hanklab show bath 3 --json | sed 's/"uid":"[0-9a-f]*"/"uid":"..."/'
hanklab show 5 --json | sed 's/"uid":"[0-9a-f]*"/"uid":"..."/'
echo "- what there is not"
no() {
    hanklab show "$@"
    echo "exit $?"
}
no 99
no soup
no soup 1
no bath
no bath soup
no dose alum
no
