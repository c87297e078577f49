# The colours of skeins in a photo: printed, and kept with --skein.
hanklab init --dyer Mine
cp "$HERE/fixtures/madder-alum.jpg" photo.jpg
hanklab log madder --date 2025-04-25 --dyestuff "madder: 60 %" \
    --skein "number=1; mordant=alum: 12 %" \
    --skein "number=2; mordant=alum: 12 %" --skein number=3 >/dev/null
hanklab fibre add "grey wool"
card="--card-box 79,338,281,403"
m() {
    hanklab measure "$@"
    echo "exit $?"
}
echo "- printed only: an unknown card, a stated one, one with its width"
# shellcheck disable=SC2086
set -- photo.jpg $card --region 490,375,172,557
m "$@"
m "$@" --card-lab 49.6,-0.3,0.5
m "$@" --card-lab=49.6,-0.3,0.5 --card-u 0.2,0.1,0.1 --csv
echo "- printed only needs no book"
m --book nowhere "$@" --card-lab 49.6,-0.3,0.5 --csv
m --book nowhere "$@" --csv
echo "- JSON: readings in the order given, whatever they are of"
m "$@" --skein 2=773,367,165,564 --region 1043,378,172,558 \
    --fibre "grey wool=490,375,172,557" --skein 1=490,375,172,557 \
    --card-lab 49.6,-0.3,0.5 --json
hanklab reading list --csv
echo "- one skein is refused, the other is kept"
m photo.jpg --card-box 79,338,281,403 --skein 1=773,367,6,6 \
    --skein 3=1043,378,172,558
m photo.jpg --card-box 79,338,281,403 --skein 1=773,367,6,6 \
    --skein 3=1043,378,172,558 --json
hanklab reading list
echo "- each skein shows the reading it had last"
hanklab show 2
hanklab list
find book/photos -type f | wc -l
