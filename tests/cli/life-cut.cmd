# A dyed skein is cut in two, one piece is dyed over, and the other is plied
# with a strand of another pot: each has the life before the cut as its own.
. "$HERE/tests/cli/life.sh"
keep log "tansy in flower" --dyestuff "tansy: 200 %" --date 2026-08-01 \
    --mordant "alum: 12 %" --fibre "two-ply wool" \
    --skein "number=40; weight=50 g; colour=straw; place=blue box" \
    --skein "number=41; weight=25 g"
hanklab reading add 40 --lab 74,0,48 --illuminant D50 --observer 2 --geometry d/8 --on 2026-08-04 >said
hanklab cut 40 "20 g; code=T1" "30 g; number=50; code=T2; colour=straw, paler end"
keep log "madder from the allotment" --dyestuff "madder: 30 %" --skein 42 \
    --date 2026-08-10
keep treat dip T2 --with "iron: 2 %"
keep log "walnut hulls" --dyestuff "walnut hulls: 150 %" --mordant none \
    --skein "number=60; weight=40 g" --date 2026-09-12
hanklab ply "50: 25 g" "60: 25 g" --name "barber's pole" --weight "50 g"
hanklab cut 60 "10 g"
hanklab cut 41 "a few metres; note=for the swatch card; pinned" --json
show 40
show 42
show 61
show 60
show 41
hanklab find --ever --dyestuff tansy
echo "- what cannot be"
keep cut 40
keep cut 99 "20 g"
keep cut 60 "wet=20 g"
keep cut 60 "10 g; weight=20 g"
keep cut 60 "10 g; number=41"
keep ply 60
keep ply 60 99
hanklab cut 60 "25 g"
hanklab undo >said
show 60 | head -5
