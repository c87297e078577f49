# Which recipes come near a colour, and what weights in between would give.
. "$HERE/tests/cli/shelf.sh"
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
ask hanklab match 44,44,28 --limit 3
ask hanklab match fox --limit 2
# Safflower on alum in three weights, and the yarn undyed.
quietly hanklab reading add --fibre "two-ply wool" --lab 85,1.5,12 \
    --u 0.6,0.5,0.6 --illuminant D50 --observer 2 --geometry 45/0
for pct in 25 50 100; do
    quietly hanklab log "safflower tub $pct" --date 2026-10-01 \
        --dyestuff "safflower: $pct %" --fibre "two-ply wool" \
        --skein "number=2$pct; weight=25 g; mordant=alum: 12 %"
done
lab 225 66,31,22
lab 250 56.5,40,26
lab 2100 46.8,44.6,27.6
ask hanklab match 51.8,42.8,27.1 --limit 3 --svg match.svg
grep -o "[^;]*striped[^;]*" match.svg
ask hanklab match 61.5,35.7,24.1 --limit 1 --json
ask hanklab match 45,45,27.5 --dyestuff safflower
ask hanklab match 20,0,-60 --limit 2
ask hanklab match 51.8,42.8,27.1 --limit 2 --csv
echo "- what cannot be"
ask hanklab match
ask hanklab match "no such colour"
ask hanklab match 40
ask hanklab match olive --dyestuff safflower --mordant iron
