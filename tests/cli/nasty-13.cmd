# Real life 13: photographs. What is stored is told beside the picture, what
# cannot be measured is refused with what to put right, and nothing is kept.
f=$HERE/fixtures
hanklab init --dyer Mine
hanklab card add "kitchen grey card" --lab 49.600,-0.300,0.500 --u 0.5,0.3,0.3 \
    --source stated --usual yes
for n in 1 12 23 36; do
    hanklab skein add "skein $n" --number "$n" >/dev/null
done
# What the colours are is tested elsewhere: their names do here.
colours() {
    sed -E 's/^((skein|region) [0-9]+) +[-0-9. ]+/\1  /
        s/L\* .* b\* [^ ]+ [^ ]+//'
}
m() {
    echo "- $1"
    shift
    hanklab measure "$@" >said 2>&1
    code=$?
    colours <said
    echo "exit $code"
}
madder=$f/madder-alum.jpg card=79,338,281,403 skein=490,375,172,557
m "no card" "$madder" --skein "1=$skein"
m "the card half hidden, as the box sees it" "$madder" \
    --card-box 220,338,281,403 --skein "1=$skein"
m "a coloured card: the box lies on a skein" "$madder" \
    --card-box 773,367,165,564 --skein "1=$skein"
m "the skein's box reaches over the card" "$madder" --card-box $card \
    --region 300,375,350,557
m "outside the picture" "$madder" --card-box $card --skein 1=5000,5000,10,10
m "no such skein" "$madder" --card-box $card --skein "99=$skein"
echo "- nothing of these was kept"
hanklab list photos
hanklab show 1
m "a good one" "$madder" --card-box $card --skein "1=$skein"
m "the wet skein" "$madder" --card-box $card --skein "1=$skein" --wet
m "a dark skein" "$f/pax-iron.jpg" --card-box 120,339,299,421 \
    --skein 36=580,365,180,559
m "sideways" "$f/walnut-iron.jpg" --card-box 68,567,283,405 \
    --skein 23=519,565,168,565
# Exif is the first segment behind the two bytes a JPEG begins with.
set -- $(od -An -tu1 -j2 -N4 "$madder")
[ "$1 $2" = "255 225" ] || echo "no Exif comes first"
{
    head -c 2 "$madder"
    tail -c +$((2 + 2 + $3 * 256 + $4 + 1)) "$madder"
} >plain.jpg
m "no Exif" plain.jpg --card-box $card --skein "1=$skein"
# What stands behind a picture's end does no harm: 40 MB of nothing.
cp "$madder" big.jpg
truncate -s 40000000 big.jpg
m "40 MB" big.jpg --card-box $card --skein "1=$skein"
echo "- read back"
hanklab show 1 | colours
