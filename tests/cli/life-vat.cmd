# A vat has dips and time in the air and no exhausts. Fed for its second day, it
# gives the first day's skeins nothing of that.
. "$HERE/tests/cli/life.sh"
keep log "weld by the fence" --dyestuff "weld: 100 %" --mordant "alum: 12 %" \
    --skein "number=70; weight=20 g" --date 2026-06-20
keep log "woad barrel" --kind vat --dyestuff "woad: 400 g fresh" \
    --alkali "wood ash: 2 handfuls" --ph "about 9" --temperature 50 \
    --vat-dips 3 --airing "15 min" --minutes 10 --date 2026-07-01 \
    --skein 70 --skein "number=71; weight=20 g"
keep log --of "woad barrel" --dyestuff "woad: 200 g fresh" --vat-dips 1 \
    --airing "20 min" --date 2026-07-03 --skein "number=72; weight=20 g"
show 70
show 71
show 72
show bath "woad barrel"
echo "- what cannot be"
keep log --of "woad barrel" --round "exhaust 1" --skein 71
keep treat dip 71 --of "woad barrel"
