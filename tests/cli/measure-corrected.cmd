# A copy in true colours for showing: a new file, the photo stays as it is.
hanklab init --dyer Mine
cp "$HERE/fixtures/madder-alum.jpg" a.jpg
hanklab log madder --date 2025-04-25 --dyestuff "madder: 60 %" \
    --skein "number=1; mordant=alum: 12 %" >/dev/null
m() {
    hanklab measure a.jpg --card-box 96,368,256,336 "$@"
    echo "exit $?"
}
m --skein 1=496,368,160,528 --corrected b.jpg --card-lab 49.6,-0.3,0.5
cmp a.jpg "$HERE/fixtures/madder-alum.jpg" && echo "the same"
echo "- there is one already, no such folder: nothing is kept"
cksum b.jpg >before
m --skein 1=496,368,160,528 --corrected b.jpg
m --skein 1=496,368,160,528 --corrected nowhere/b.jpg
cksum b.jpg | cmp - before && echo "the same"
hanklab list readings --csv | wc -l
echo "- what the copy says of itself: the card is what it was said to be"
hanklab measure b.jpg --card-box 96,368,256,336 --card-lab 49.6,-0.3,0.5 \
    --region 496,368,160,528 --region 60,1380,340,200 --json |
    tr -d ' \n' | sed 's/.*"gains":\[\([^]]*\)\].*/\1/' | tr , '\n' |
    awk '{ print (($1 > 0.99 && $1 < 1.01) ? "gain within 1 %" : $1) }'
