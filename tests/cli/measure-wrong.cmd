# One line each says what to put right, and nothing is kept.
hanklab init --dyer Mine
hanklab log madder --dyestuff madder --skein number=1 >/dev/null
photo=$HERE/fixtures/madder-alum.jpg
card=79,338,281,403
skein=490,375,172,557
no() {
    hanklab measure "$@"
    echo "exit $?"
}
echo "- what is asked for"
no
no "$photo"
no "$photo" --card-box $card
no "$photo" --region $skein
no "$photo" --card-box $card --card none --card none --region $skein
no "$photo" --card-box $card --card-box $card --region $skein
no "$photo" --card-box 79,338,281 --region $skein
no "$photo" --card-box 79,338,281,0 --region $skein
no "$photo" --card-box 79,338,281,403 --region here
no "$photo" --card-box $card --region 1e9,0,10,10
no "$photo" --card-box $card --skein $skein
no "$photo" --card-box $card --skein 1
no "$photo" --card-box $card --skein =$skein
no "$photo" --card-box $card --skein 99=$skein
no "$photo" --card-box $card --skein 1=$skein --skein soup=$skein
no "$photo" --card-box $card --fibre soup=$skein
no "$photo" --card-box $card --region $skein --assume-profile cmyk
no "$photo" "$photo" --card-box $card --region $skein
no "$photo" --card-box $card --region $skein --lamp 5000
no --book nowhere "$photo" --card-box $card --skein 1=$skein
echo "- a book that is there but cannot be read may hold the usual card"
mkdir soup
echo soup >soup/book.db
no --book soup "$photo" --card-box $card --region $skein
no --book soup "$photo" --card-box $card --region $skein --card-lab 50,0,0 --csv
echo "- where the boxes lie"
no "$photo" --card-box 1500,338,281,403 --skein 1=$skein
no "$photo" --card-box 1500,338,281,403 --skein 1=$skein --json
no "$photo" --card-box $card --skein 1=1500,375,172,557
no "$photo" --card-box $card --skein 1=-10,375,172,557
no "$photo" --card-box $card --skein 1=490,375,6,6
no "$photo" --card-box 79,338,6,6 --skein 1=$skein
echo "- no card under its box"
no "$photo" --card-box 490,375,172,557 --skein 1=$skein
no "$photo" --card-box 300,338,281,403 --skein 1=$skein --json
echo "- a box over the card's, and a skein boxed twice"
no "$photo" --card-box $card --skein 1=100,360,200,300
no "$photo" --card-box $card --skein 1=$skein --skein 1=$skein
echo "- what the file is"
photo() {
    no file.jpg --card-box $card --skein 1=$skein
}
no none.jpg --card-box $card --skein 1=$skein
no . --card-box $card --skein 1=$skein
: >file.jpg
photo
echo "Madder, 60 %" >file.jpg
photo
printf '\211PNG\r\n\032\n' >file.jpg
photo
no file.jpg --card-box $card --skein 1=$skein --json
printf '\0\0\0\030ftypheic\0\0\0\0mif1heic' >file.jpg
photo
echo "- a grey picture, one for print, one too large, one of no size"
frame() { # H1 H2 W1 W2 COMPONENTS, octal: a start, a frame, a scan, an end
    printf '\377\330\377\300\0'
    case $5 in
    1) printf %b "\\013\\010\\0$1\\0$2\\0$3\\0$4\\01\\01\\021\\0" ;;
    3) printf %b "\\021\\010\\0$1\\0$2\\0$3\\0$4\\03\\01\\021\\0\\02\\021\\0\\03\\021\\0" ;;
    4) printf %b "\\024\\010\\0$1\\0$2\\0$3\\0$4\\04\\01\\021\\0\\02\\021\\0\\03\\021\\0\\04\\021\\0" ;;
    esac
    printf '\377\332\0\10\1\1\0\0\77\0\377\331'
}
frame 4 0 4 0 1 >file.jpg
photo
frame 4 0 4 0 4 >file.jpg
photo
frame 377 377 377 377 3 >file.jpg
photo
frame 0 0 4 0 3 >file.jpg
photo
echo "- a photo cut off: in its head, in its first rows, near its end"
for bytes in 300 40000 300000; do
    head -c $bytes "$photo" >file.jpg
    photo
done
echo "- a broken profile"
LC_ALL=C sed 's/acsp/ACSP/' "$photo" >file.jpg
photo
no file.jpg --card-box $card --region $skein --assume-profile srgb --csv
echo "- nothing of all that was kept"
hanklab reading list
hanklab photo list
ls book
