# Files by other names than theirs, names of two lines, one picture twice: see
# tests/pitfall-rows.test.sh, rows 46, 68 and 69.
hanklab init --dyer Mine
hanklab log madder --date 2025-04-25 --dyestuff madder \
    --skein number=1 --skein number=2 >/dev/null
photo=$HERE/fixtures/madder-alum.jpg
m() {
    hanklab measure "$1" --card-box 79,338,281,403 --card-lab 49.6,-0.3,0.5 \
        "$2" "$3"
    echo "exit $?"
}
echo "- by its content, whatever its name"
cp "$photo" madder.heic
m madder.heic --region 490,375,172,557
printf 'RIFF\44\0\0\0WEBPVP8 ' >madder.jpg
m madder.jpg --region 490,375,172,557
echo "- a name of two lines: one that is there, one that is not"
cp "$photo" "two
lines.jpg"
m "two
lines.jpg" --region 490,375,172,557
m "no
lines.jpg" --region 490,375,172,557
echo "- the same picture twice: under another name, for another skein"
m "$photo" --skein 1=490,375,172,557
m madder.heic --skein 1=490,375,172,557
m "$photo" --skein 2=773,367,165,564
hanklab photo list
find book/photos -type f | wc -l
hanklab list
