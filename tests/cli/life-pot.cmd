# Several dyestuffs, mordants and assists in one pot, put in at different times,
# one of them by the handful; a round nobody wrote down, and a fifth exhaust.
. "$HERE/tests/cli/life.sh"
keep log "autumn kettle" --date 2026-09-12 --fibre "two-ply wool" \
    --dyestuff "weld: 80 g dry" \
    --dyestuff "tansy: a handful; minute=20; added=with" \
    --dyestuff "walnut hulls; minute=45; added=after; note=from the bottom of the bag" \
    --mordant "alum: 12 %" --mordant "iron: 1 %" \
    --assist "cream of tartar: 6 %" --assist "bran: a pinch" \
    --alkali "chalk: 1/2 tsp; added=before" --acid "vinegar: 10 ml; minute=50" \
    --ph "7 -> 5" --temperature 80 --minutes 60 \
    --skein "number=1; weight=25 g" --skein "number=2; weight=25 g; mordant=none"
keep log --of 1 --round "exhaust 2" --date 2026-09-14 --skein "number=3; weight=20 g"
keep log --of 1 --round "exhaust 5" --date 2026-09-20 --dyestuff "weld: 30 g dry" \
    --skein "number=4; weight=20 g"
show 1
show 2
show 4
show bath 1
