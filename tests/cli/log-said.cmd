# What is said another way than it is kept, and what is asked at the very end.
hanklab init --dyer Mine
l() {
    echo "- $*" | cut -c1-76
    hanklab log "$@" 2>&1 | grep -v -e '^Follow the product' -e '^alum: Mild'
}
echo "# how much, before an \"of\""
l "weld" --dyestuff weld --mordant "a pinch of alum" --skein "20 g"
l "weld again" --dyestuff "2 tsp of weld"
l "skins" --dyestuff "a handful of onion skins" --mordant "alum: 12 %"
hanklab log "none" --dyestuff "10 g of nothing known"
hanklab reckon --weight "85 g" --mordant "2 g of alum" | head -2
hanklab material list
echo "# the command that mends it, and the same twice"
l "slips" --mordant "alum: 120 %" --assist "tartar: 6" --skein "64 g"
hanklab dose edit 7 --amount "12 %"
l "twice" --mordant "alum: 8 %" --mordant "alum: 10 %" --skein "64 g"
echo "# a batch by its number in the list"
hanklab supply add --material weld --amount "300 g"
hanklab supply list
l "batch" --dyestuff "weld: 10 g; supply=1"
hanklab log "no batch" --dyestuff "weld: 10 g; supply=7"
echo "# rounds that are passed over, and one that may have been meant"
l --of slips --round "exhaust 3" --skein "20 g"
l "morning" --dyestuff tansy --date 2026-05-03
l --of morning --dyestuff "tansy: 20 g" --skein "20 g" --date 2026-05-04
hanklab undo
l --of morning --round first --dyestuff "tansy: 20 g" --skein "20 g"
