# A colour of a photo, a part of the map, and a colour that no skein has.
. "$HERE/tests/cli/shelf.sh"
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
cp "$HERE/fixtures/madder-alum.jpg" photo.jpg
hanklab history --csv >before
set -- --photo photo.jpg --card-box 79,338,281,403 --card-lab 49.6,-0.3,0.5
ask hanklab find "$@" --region 490,375,172,557 --limit 2
ask hanklab find "$@" --tap 570,600 --dyestuff madder --limit 1
hanklab find "$@" --region 490,375,172,557 --json --limit 1 |
    grep -o '"answer":"[^"]*"'
hanklab find "$@" --region 490,375,172,557 --svg map.svg >/dev/null 2>&1
sed -n 's/.*<desc>\(.*asked for[^.]*\)\..*/\1/p' map.svg
echo "- nothing of it is kept"
hanklab history --csv | cmp - before
ls book/photos 2>/dev/null
echo "- what cannot be"
ask hanklab find --photo photo.jpg
ask hanklab find --photo photo.jpg --region 490,375,172,557
ask hanklab find "$@"
ask hanklab find "$@" --region 490,375,172,557 --tap 570,600
ask hanklab find "$@" --region 5000,5000,50,50 --limit 1
ask hanklab find "$@" --region 490,375,172
ask hanklab find --photo none.jpg --card-box 1,1,9,9 --region 1,1,9,9
ask hanklab find --region 490,375,172,557
ask hanklab find "$@" --region 490,375,172,557 --lab 1,2,3
ask hanklab find "$@" --region 490,375,172,557 --light D65/10
echo "- a part of the map"
ask hanklab find --area -5..5,10..20
ask hanklab find olive --area -5..5,10..40,45..60
ask hanklab find --area 5,10
echo "- no skein has it; safflower in three weights leads there"
ask hanklab find purple
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
ask hanklab find --lab 61.5,35.7,24.1 --limit 1
hanklab find --lab 61.5,35.7,24.1 --json --limit 1 | grep -o '"lead":{[^}]*}'
