# Taps in a photo in place of boxes, and boxes proposed; what cannot be found
# asks for a box, and nothing is kept unseen.
hanklab init --dyer Mine
cp "$HERE/fixtures/madder-alum.jpg" photo.jpg
hanklab log madder --date 2025-04-25 --dyestuff "madder: 60 %" \
    --skein "number=1; mordant=alum: 12 %" --skein number=2 >/dev/null
hanklab fibre add "grey wool"
card="--card-lab 49.6,-0.3,0.5"
m() {
    hanklab measure photo.jpg "$@"
    echo "exit $?"
}
# shellcheck disable=SC2086
set -- $card --card-tap 200,540
echo "- what seems to lie where"
m --auto
m --auto --json
m --auto --csv
m --auto --card-box 79,338,281,403
echo "- printed only, among boxes"
m "$@" --tap 575,654 --region 773,367,165,564 --tap 1125,660.7
m "$@" --tap 575,654 --json
m "$@" --tap 575,654 --csv
echo "- kept, as if the box had been drawn"
m "$@" --skein 1=575,654 --fibre "grey wool=1415,654"
hanklab reading list --csv
m --card-lab 49.6,-0.3,0.5 --card-box 96,368,256,336 --region 496,368,160,528 \
    --csv
echo "- one is not found, the others are"
m "$@" --tap 30,30 --skein 2=851,650
m "$@" --tap 30,30 --tap 851,650 --json
echo "- none is found, or the card is not"
m "$@" --tap 30,30
m "$@" --tap 30,30 --json
m "$@" --tap 5000,30
m $card --card-tap 575,654 --tap 575,654
m --auto --card-tap 30,30
echo "- not understood"
m $card --tap 575,654
m "$@" --card-box 79,338,281,403 --tap 575,654
m $card --card-tap 1,2,3,4 --tap 575,654
m $card --card-box 1,2 --tap 575,654
m "$@" --tap here
m "$@" --skein 1=5
m "$@" --tap 1e9,3
m "$@" --auto --tap 575,654
m "$@" --auto --skein 1=575,654
hanklab reading list --csv | wc -l
