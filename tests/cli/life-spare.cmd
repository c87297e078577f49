# Spares are mordanted and wait; the used alum is topped up and taken again, as
# common practice has it; a spare is dyed weeks later and keeps its mordant.
. "$HERE/tests/cli/life.sh"
keep treat mordant --keep "alum bucket" --volume "6 l" --water rain \
    --with "alum: 12 %" --with "cream of tartar: 6 %" --date 2026-05-01 \
    --temperature 85 --minutes "1 h" --cooled yes \
    --skeins 3 --weight "25 g" --fibre "two-ply wool"
keep treat mordant --of "alum bucket" --with "alum: 6 %" --date 2026-05-02 \
    --skein "weight=25 g; code=S4" --skein "weight=30 g; code=S5"
keep treat mordant --of 1 --date 2026-05-04 --skein "weight=20 g; code=S6"
keep log "weld by the fence" --dyestuff "weld: 100 %" --date 2026-06-20 \
    --mordant "iron: 2 %" --skein 2 --skein S4x --skein "weight=20 g"
show 1
show s4
show S6
show 2
show bath 1
hanklab list
echo "- what cannot be"
keep treat mordant --of 1
keep treat mordant 99 --of 1
keep treat mordant 1 --of "weld by the fence"
keep treat dye 1
keep treat mordant 1 --of 1 --keep another
keep treat wash 1 --keep suds
keep treat mordant 1 --with "12 %"
keep treat mordant "weight=20 g" --with alum
hanklab list --csv | wc -l
