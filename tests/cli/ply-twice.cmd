# What was plied is no longer there by itself, and goes into a ply once.
hanklab init --dyer Mine
no() {
    hanklab "$@"
    echo "exit $?"
}
hanklab log madder --skeins 3 --weight "20 g" >/dev/null 2>&1
no ply 1 1
hanklab ply 1 "2: 5 g"
no ply 1 3
no treat dip 1 --with iron
no cut 1 half
hanklab ply "2: 15 g" 3
hanklab list
echo "- the mordant that was said as a dyestuff; the round that waits to be finished"
hanklab material add alum --kind mordant
hanklab log tea --dyestuff "alum: 10 g" --skein "weight=10 g"
hanklab log "by the stove" --photo "$HERE/fixtures/undyed.jpg"
hanklab log --of "by the stove" --dyestuff "weld: 50 %" --skein "weight=20 g"
echo "- of a wet weight nothing is reckoned"
hanklab log wet --dyestuff "weld: 50 %" --skein "weight=30 g; weighed=wet" >/dev/null 2>&1
last=$(hanklab list --csv | tail -1 | cut -d, -f1)
hanklab repeat "$last" 2>/dev/null | grep weight
hanklab supply add weld --amount "30 g" --state dry
hanklab log fresh --dyestuff "weld: 300 g; state=fresh" --skein "weight=30 g" >/dev/null 2>&1
last=$(hanklab list --csv | tail -1 | cut -d, -f1)
hanklab repeat "$last" 2>/dev/null | grep -A1 weight
