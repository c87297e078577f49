# What cannot be measured: one line each says what to put right, and the book
# and its folder of photos stay as they were.
hanklab init --dyer Mine
hanklab log first --skein "number=1; weight=20 g" --fibre wool
made=$HERE/tests/fuzz/corpus/jpeg
no() { # FILE [OPTION...]
    echo "- ${1##*/}"
    photo=$1
    shift
    [ $# -gt 0 ] || set -- --card-box 0,0,40,40 --skein 1=40,20,40,40
    timeout 60 hanklab measure "$photo" "$@"
    echo "exit $?"
}
kept() {
    find book* -type f -exec sha256sum {} + | sort
}
kept >before

echo "madder 60 %" >text.jpg
mkdir folder.jpg
mkfifo pipe.jpg
ln -s pipe.jpg linked.jpg
ln -s linked-2.jpg linked-2.jpg
truncate -s 201M large.jpg
for file in text.jpg folder.jpg pipe.jpg linked.jpg linked-2.jpg large.jpg \
    none.jpg text.jpg/photo.jpg /dev/null; do
    no "$file"
done
for file in 12-190-scans 14-grey 15-cmyk 17-too-small 22-progressive-cut \
    26-no-height 27-absurd-size 28-12-bits 29-header-only 30-png 31-heic \
    32-empty 44-profile-in-chunks 45-profile-broken; do
    no "$made/$file"
done
# a plain one, but boxes that will not do
no "$made/01-plain"
no "$made/01-plain" --card-box 0,0,40,400 --skein 1=40,20,40,40
no "$made/01-plain" --card-box 0,0,6,6 --skein 1=40,20,40,40
no "$made/01-plain" --card-box 0,0,40,40 --skein 2=40,20,40,40
no "$made/01-plain" --card-box 0,0,40,40 --skein 1=40,20,40
no "$made/01-plain" --card-box 0,0,40,40
no "$made/01-plain" --skein 1=40,20,40,40
no "$made/14-grey" --json --card-box 0,0,40,40 --skein 1=40,20,40,40

kept >after
cmp before after && echo "nothing is kept"
