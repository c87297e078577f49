# One line each says what to put right, and nothing is kept.
hanklab init --dyer Mine
hanklab log first --skein "number=1; weight=20 g; code=A3" --fibre wool
no() {
    hanklab log "$@"
    echo "exit $?"
}
no
no x --of 1
no --of soup
no --of fir
no --of 99
no x --ph 14.5
no x --date 31.2.2026
no x --round "bath 3"
no x --round "exhaust 0"
no x --temperature 180
no x --kind soup
no x --skeins many
no x --skeins 1 --skein "" --skein ""
no x --skein 7
no x --skein "number=seven"
no x --skein "number=5" --skein "number=5"
no --of 1 --skein 1 --skein "number=1"
no --of 1 --round first --skein 1
no --of 1 --skein "1; fibre=cotton"
no --of 1 --skein "1; weight=60 g; weighed=wet"
no x --skein "wieght=20 g"
no x --skein "weight=20 g; lumpy"
no x --skein "weight=20 ml"
no x --skein "weight=20 g; weight=21 g"
no x --mordant "none" --mordant "alum"
no x --mordant "alum: -12 %"
no x --dyestuff "2:1"
no x --dyestuff ": 12 %"
no x --dyestuff "?: 20 g"
no x --dyestuff "madder: 5 m"
no x --dyestuff "madder; grams=5"
no x --dyestuff "madder: 50 g; supply=spring"
no x --dyestuff "madder: 100 %" --dip "iron: 5 m" --skeins 5
no x --vat-dips 3
no x --poured 99
no --of 1 --poured 1
no x --extraction "1 h; heat=80"
no x --extraction "1 h; 80"
no x --dyestuff "madder; 60 %"
no x --dyestuff "madder: 60 %; fresh"
no x --dyestuff "madder=60 %"
no x --dyestuff "60 % madder"
no x --mordant "alum 12"
no x --dyestuff "weld 60"
no x --dyestuff "madder: 60 %, weld 60"
no x --mordant "alum 12 %; tartar 6 %"
no x --mordant "alum: 12 %; cream of tartar: 6 %; note=warm"
no x --mordant "alum 12 %; in hot water"
no x --mordant "=alum"
no x --skein "50g yellow"
no x --skein "olive green 2 oz"
no x --skein "yellow 50 g"
no x --skein "2 oz olive green"
hanklab treat mordant --with "alum: 12 %; tartar 6 %" --skeins 1
no x --skein "lumpy; half"
no x --skein "lumpy; 2 oz"
no x --skein "lumpy; 80 m"
no x --skein "lumpy; 5 min"
no x --weight "summer 2019" --skeins 1
no x --volume "a lot 3"
no x --skeins
no x --weight
no x --dyestuff
no x --kind
no x --of
echo "- nothing of all that was kept"
hanklab log second --skein name=next --json
hanklab log third --mordant "alum 12:" --dyestuff "weld 2019" --skeins 1
