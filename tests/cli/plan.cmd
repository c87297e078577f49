# Five colours for a blanket stripe from two dyestuffs, a hank of 100 g and
# 400 m a colour group, ready by an evening, two burners, three pots; then two
# of the steps as planned and otherwise. The evening is far off, so that no
# day of these depends on today.
export COLUMNS=100
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
plan() {
    echo "- hanklab plan make \"$1\" ... $2"
    hanklab plan make "$1" \
        "rust = 160 m; dyestuff=madder: 60 %; $alum" \
        "fox = 120 m; dyestuff=madder: 60 %; round=exhaust 1; $alum" \
        "peach = 120 m; dyestuff=madder: 60 %; round=exhaust 2; $alum" \
        "gold = 240 m; dyestuff=weld: 1:1; $alum" \
        "olive = 160 m; dyestuff=weld: 1:1; round=exhaust 1; dip=iron: 2 %; $alum" \
        --yarn two-ply --hank "100 g = 400 m" --burners 2 --pots "3 x 8 l" \
        --ready "2199-11-29 18:00" "$2"
}
alum="mordant=alum: 12 %; assist=cream of tartar: 6 %"
hanklab init --dyer "Weaving group" >/dev/null
hanklab material add alum --kind mordant >/dev/null
hanklab supply add alum --amount "20 g" >/dev/null
plan "tried only" --try
ask hanklab plan show
plan "blanket stripe" --note=border
ask hanklab plan done 4 --date 2199-11-28
ask hanklab plan done 1 --date 2199-11-27
ask hanklab plan done 2 --date 2199-11-27 --minutes "50 min"
ask hanklab plan done 3 --date 2199-11-27 --temperature 80 --with "alum: 10 %"
ask hanklab plan done 4 --date 2199-11-28 --skein "1; weight=41 g"
ask hanklab plan weigh "blanket stripe"
ask hanklab plan when --ready "2199-11-30 12:00" --burners 1
ask hanklab undo
ask hanklab plan when
hanklab plan show --json | tr ',' '\n' | grep -c '"step"'
hanklab plan show --json | tr '{' '\n' | grep '"material":"alum"'
echo "- iron beside alum"
ask hanklab plan make grid \
    "a = 20 g; dyestuff=weld: 50 %; mordant=alum: 12 %" \
    "b = 20 g; dyestuff=weld: 50 %; mordant=iron: 3 %" \
    --ready "2199-11-29 18:00" --jars "4 x 1 l"
echo "- a later round without an amount, and one before it that nobody wants"
hanklab plan make later "red = 20 g; dyestuff=madder: 60 %" \
    "peach = 20 g; dyestuff=madder; round=exhaust 2" --try 2>&1 |
    grep "colours\|0.6 l .*madder"
echo "- what cannot be"
ask hanklab plan
ask hanklab plan bake
ask hanklab plan make
ask hanklab plan make one
ask hanklab plan make one "red = 20 g"
ask hanklab plan make grid "red = 20 g; dyestuff=madder: 60 %"
ask hanklab plan make old "red = 20 g; dyestuff=madder: 60 %; mordant=chrome: 3 %"
ask hanklab plan make one "red = 20 g; dyestuff=madder: 60 %" --ready never
ask hanklab plan make one "red = 20 g; dyestuff=madder: 60 %" --pots few
ask hanklab plan make big "red = 300 g; dyestuff=madder: 60 %; mordant=alum: 12 %"
ask hanklab plan show nothing
ask hanklab plan show --try
ask hanklab plan when grid --pots 0
ask hanklab plan make one "red = 20 g; dyestuff=madder: 60 %" --burners 0
ask hanklab plan done
ask hanklab plan done 77 --project grid
ask hanklab plan done 4 --project "blanket stripe"
echo "- what would be weighed or done wrongly"
ask hanklab plan make herb "sun = 30 g; dyestuff=tansy: 400 % fresh"
ask hanklab plan make vat "blue = 30 g; dyestuff=indigo: 10 %"
ask hanklab plan make spirits "violet = 30 g; dyestuff=alkanet root: 100 %"
hanklab skein add "spare" --number 90 --weight "20 g" --weighed dry >/dev/null
hanklab treat mordant 90 --with "alum: 12 %" >/dev/null 2>&1
ask hanklab plan make over "olive; on=90; dyestuff=weld: 1:1; mordant=iron: 4 %"
hanklab log "tansy pot" --dyestuff "tansy: 400 %; state=fresh" \
    --skein "number=91; weight=20 g" >/dev/null 2>&1
ask hanklab plan make again "sun = 30 g; like=91"
ask hanklab plan done 1 --project grid --minutes overnight
ask hanklab plan done 1 --project grid --note "a drop of soap"
hanklab list tasks --csv | grep -c "a drop of soap"
ask hanklab plan done 2 --project grid --ph 8
hanklab material add weld --kind dyestuff >/dev/null
hanklab supply add weld --name sack >/dev/null
hanklab supply add weld --amount "5 g" >/dev/null
hanklab plan weigh grid 2>/dev/null | grep "^weld"
hanklab plan make pair "a = 2 x 10 g; dyestuff=madder: 50 %; mordant=alum: 12 %" \
    --ready "2199-11-29 18:00" >/dev/null 2>&1
ask hanklab plan done 3 --project pair --date 2199-11-27 --skein 92
