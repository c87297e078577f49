#!/bin/sh
# Measuring on the page, without a browser: a book is served and its forms are
# sent with curl. What is read must be what "hanklab measure" reads; the photos
# and where things lie on them are those of fixtures/ (truth.csv). Prints TAP.
set -u
BUILD=${BUILD:-build/gcc}
out=$(mktemp -d) || exit 1
server=
# shellcheck disable=SC2317 # called by the trap
end() {
    [ -z "$server" ] || kill "$server"
    rm -rf "$out"
}
trap end EXIT
n=0

is() { # WHAT COMMAND...
    n=$((n + 1))
    what=$1
    shift
    if "$@" >"$out/said" 2>&1; then
        echo "ok $n - $what"
    else
        echo "not ok $n - $what"
        sed 's/^/# /' "$out/said"
    fi
}

book() { # COMMAND...: on the served book
    HANKLAB_BOOK=$out/book "$BUILD/hanklab" "$@"
}

beside() { # COMMAND...: on the book that the command line fills
    HANKLAB_BOOK=$out/beside "$BUILD/hanklab" "$@"
}

begin() { # BOOK
    HANKLAB_BOOK=$1
    export HANKLAB_BOOK
    "$BUILD/hanklab" init --dyer "Weaving group" &&
        "$BUILD/hanklab" card add "kitchen grey card" --lab 49.6,-0.3,0.5 \
            --source stated --usual yes &&
        "$BUILD/hanklab" skein add "madder" --number 1 &&
        "$BUILD/hanklab" skein add "madder, exhaust" --number 2 &&
        "$BUILD/hanklab" fibre add "grey lambswool"
}

# Sends a form: the status is then in $code, where it sends the browser in $to,
# the page in $out/page.
post() { # ADDRESS CURL-OPTIONS...
    at=$1
    shift
    code=$(curl -s -o "$out/page" -D "$out/head" -w '%{http_code}' \
        -F "token=$token" "$@" "$site$at")
    to=$(sed -n 's/\r$//; s/^Location: //p' "$out/head")
}

get() { # ADDRESS
    code=$(curl -s -o "$out/page" -w '%{http_code}' "$site$1")
}

page_has() { # STATUS WORDS...: each of them is on the page
    [ "$code" = "$1" ] || { echo "status $code"; return 1; }
    shift
    for words; do
        grep -qF "$words" "$out/page" || { echo "lacks: $words"; return 1; }
    done
}

# The first words of the page that say what to put right.
says() { # STATUS WORDS
    why=$(sed -n 's/.*role="alert"[^>]*>\([^<][^<]*\)<.*/\1/p' "$out/page" | head -1)
    echo "status $code, says: $why"
    [ "$code" = "$1" ] && case $why in *"$2"*) ;; *) false ;; esac
}

acts() {
    book history --json | grep -o '"act"' | wc -l
}

nothing_changed() {
    echo "$(acts) acts, were $before"
    [ "$(acts)" = "$before" ]
}

saved() {
    echo "status $code, to $to"
    [ "$code" = 303 ]
}

# The readings of a skein without what differs from book to book.
readings() { # PROGRAM SKEIN
    "$1" show "$2" --json | tr '{' '\n' | grep '"L"' |
        sed 's/"\(id\|reading\|uid\)":[^,]*,//g'
}

same_readings() { # SKEIN
    readings book "$1" >"$out/a"
    readings beside "$1" >"$out/b"
    cat "$out/a"
    [ -s "$out/a" ] && diff "$out/a" "$out/b"
}

is "a book is begun" begin "$out/book"
is "and one beside it" begin "$out/beside"
unset HANKLAB_BOOK
"$BUILD/hanklab-serve" "$out/book" 0 >"$out/serve" 2>&1 &
server=$!
for _ in 1 2 3 4 5 6 7 8 9 10; do
    site=$(sed -n 's|.*\(http://[0-9.:]*\)/ .*|\1|p' "$out/serve")
    [ -z "$site" ] || break
    sleep 0.5
done

get /measure?skein=2
is "the skein to measure is carried on" page_has 200 \
    'name="skein" value="2"'
token=$(sed -n 's/.*name="token" value="\([0-9a-f]*\)".*/\1/p' "$out/page" |
    head -1)
is "a photo is chosen or taken, and asked for as JPEG" page_has 200 \
    'accept="image/jpeg"' 'capture="environment"'

# ---- sending a photo ---------------------------------------------------------

photo=fixtures/madder-alum.jpg
card=79,338,281,403 one=490,375,172,557 two=773,367,165,564
before=$(acts)
post /photo -F "photo=@$photo" -F token=none
is "the first token counts" saved
token=$(echo "$token" | tr 0-9a-f 1-9a-f0)
before=$(acts)
post /photo -F "photo=@$photo"
is "a wrong token is refused" says 400 "so nothing was changed"
is "and nothing changes" nothing_changed
token=$(echo "$token" | tr 1-9a-f0 0-9a-f)
post /photo -F "photo=@$photo" -F "skein=2"
is "a photo that is there already is found" \
    test "${to%%&saved=*}" = "/measure/1?skein=2"
is "it is kept byte for byte" sh -c "curl -s $site/photo/1 | cmp - $photo"
before=$(acts)
get "/measure/1?skein=2"
is "it opens with the card and the skeins that were found" page_has 200 \
    'name="card-box" value="96,368,256,336"' \
    'name="box" value="496,368,160,528"' 'name="box" value="1344,368,160,560"' \
    '<option value="look" selected>' 'The card and 4 skeins' \
    'Which of them is 2?' 'selected>kitchen grey card'
is "and stores nothing" nothing_changed

before=$(acts)
printf '\000\000\000\030ftypheic\000\000\000\000mif1heic%999s' ' ' >"$out/a.jpg"
post /photo -F "photo=@$out/a.jpg"
is "HEIC is refused, and the phone's setting named" \
    says 400 "camera settings"
printf '\211PNG\r\n\032\n%999s' ' ' >"$out/a.jpg"
post /photo -F "photo=@$out/a.jpg"
is "PNG is refused by its name" says 400 "PNG"
post /photo -F "photo=@/dev/null;filename=a.jpg"
is "an empty file is refused" says 400 "empty"
post /photo -F "skein=2"
is "no file at all is said so" says 400 "choose a photo first"
truncate -s 65M "$out/large.jpg"
started=$(date +%s)
post /photo -F "photo=@$out/large.jpg"
is "65 MiB are refused" says 413 "over 64 MiB"
is "before they are sent" test $(($(date +%s) - started)) -le 5
is "nothing changes by any of these" nothing_changed
is "and nothing is left lying" sh -c "! ls $out/book/cache/arriving-*"

# ---- tapping -----------------------------------------------------------------

tap() { # X,Y CURL-OPTIONS...
    where=$1
    shift
    post /measure/1 -F do=tap -F "tap=$where" "$@"
}

before=$(acts)
tap 200,540 -F box= -F as=skein -F who=
is "the first tap is on the card" page_has 200 \
    'data-found="96,368,256,336" data-kind="card"'
tap 575,654 -F card-box=$card -F box= -F as=skein -F who=
is "the next on a skein, and the form is as it was" page_has 200 \
    'data-found="496,368,160,528" data-kind="skein"' \
    "name=\"card-box\" value=\"$card\""
tap 30,30 -F card-box=$card -F box= -F as=skein -F who=
is "a tap on the table is refused" says 400 "draw a box on it"
tap 9999,30 -F card-box=$card -F box= -F as=skein -F who=
is "one outside the picture is refused" says 400 "outside the picture"
tap here -F card-box=$card -F box= -F as=skein -F who=
is "no place is refused" says 400 "not a place"
is "and nothing changes by any of these" nothing_changed

# ---- trying ------------------------------------------------------------------

put() { # DO CURL-OPTIONS...
    what=$1
    shift
    post /measure/1 -F "do=$what" "$@"
}

before=$(acts)
put try -F card-box=$card -F box=$one -F as=skein -F who=1
colour=$(beside measure "$photo" --card-box $card --region $one --csv |
    sed -n 2p | tr -d '\r')
field() { # NUMBER: of the line that the command line gave
    echo "$colour" | cut -d, -f"$1"
}
is "a try shows the colour that the command line reads" page_has 200 \
    "L* $(field 2) <i>&plusmn; $(field 5)<" \
    "a* $(field 3) <i>&plusmn; $(field 6)<" \
    "b* $(field 4) <i>&plusmn; $(field 7)<" "<b>$(field 9)</b>" \
    'can be kept' 'Save 1 reading' 'D50, 2&deg;'
is "and stores nothing" nothing_changed
put try -F card-box=$card -F box=490,375,172 -F as=skein -F who=1
is "half a box is refused" says 400 "is not a box: write X,Y,W,H"
put try -F card-box=$card -F box=490,375,0,9 -F as=skein -F who=1
is "a box of no width is refused" says 400 "W and H at least 1"
put save -F card-box=$card -F box= -F as=skein -F who=1
is "a skein without a box is refused" says 400 "1 has no box"
put try -F card-box=$card -F box=$one -F as=skein -F who=1 -F box= -F as=skein \
    -F who=2
is "one that is still to be drawn leaves the others alone" page_has 200 \
    "L* $(field 2) <i>" "Save 1 reading"
put save -F card-box= -F box=$one -F as=skein -F who=1
is "no card is refused" says 400 "no grey card is marked"
put save -F card-box=$card -F box= -F as=skein -F who=
is "no skein is refused" says 400 "no skein is marked"
put save -F card-box=$card -F box=$one -F as=skein -F who=
is "a box that is nobody's is refused" says 400 "say which skein it is"
put save -F card-box=$card -F box=$one -F as=skein -F who=77
is "a skein that is not there is refused" says 400 "77"
put save -F card-box=1500,1100,400,400 -F box=$one -F as=skein -F who=1
is "a card outside the picture is refused" says 400 "card"
put save -F card-box=$card -F box=1500,1100,400,400 -F as=skein -F who=1
is "a skein outside the picture is refused, in its row" page_has 400 \
    "nothing to keep" "not kept"
put try -F card-box=$card -F box=$one -F as=skein -F who=1 -F profile=x
is "a profile nobody knows is refused" says 400 "is no profile"
put save -F card-box=$card -F box=$one -F as=skein -F who=1 \
    --form-string 'box="><script>' -F as=skein --form-string 'who=<b>'
is "markup comes back as text" page_has 400 "&#34;&#62;&#60;script&#62;" \
    "&#60;b&#62;"
post /measure/99 -F do=try -F card-box=$card -F box=$one
is "a photo that is not there is said so" says 404 "photo"
is "nothing changes by any of these" nothing_changed

# ---- keeping -----------------------------------------------------------------

beside measure "$photo" --card-box $card --skein 1=$one --skein 2=$two \
    --fibre "grey lambswool=$two" >/dev/null
put save -F card-box=$card -F card=\#1 -F box=$one -F as=skein -F who=1 \
    -F box= -F as=skein -F who= -F box=$two -F as=skein -F who=2 \
    -F box=$two -F as=fibre -F "who=grey lambswool" \
    -F box=$one -F as=look -F who=
is "two skeins and a yarn are kept in one go" saved
is "as one act" test "$(acts)" = $((before + 1))
is "skein 1 has the reading that the command line keeps" same_readings 1
is "and so has skein 2" same_readings 2
get "/measure/1?skein=1"
is "where the card lay is remembered" page_has 200 "value=\"$card\""

put save -F card-box=$card -F box=500,400,150,450 -F as=skein -F who=1 \
    -F wet=
is "a skein is measured again, and its page follows" \
    test "${to%%\?*}" = "/skein/1"
get /skein/1
is "both readings are there, and the difference" page_has 200 \
    "Measured before" "match within 2"
is "the book has both" test "$(readings book 1 | wc -l)" = 2

before=$(acts)
put save -F card-box=$card -F box=$one -F as=skein -F who=1 \
    -F box=1500,1100,400,400 -F as=skein -F who=2
is "a refusal not yet seen is shown before the rest is kept" \
    says 400 "nothing is saved yet"
is "and nothing changes" nothing_changed
put save -F card-box=$card -F box=$one -F as=skein -F who=1 \
    -F box=1500,1100,400,400 -F as=skein -F who=2 -F refused=1
is "once seen, the others are kept" test "${to%%\?*}" = "/skein/1"

before=$(acts)
put save -F card-box=$card -F box=$one -F as=new -F "who=by the window"
is "a new skein is made with its reading" test "${to%%\?*}" = "/skein/3"
is "in one act" test "$(acts)" = $((before + 1))
is "under the name that was typed" sh -c \
    "HANKLAB_BOOK=$out/book $BUILD/hanklab list --json | grep -q window"
post /undo -F act="${to#*saved=}"
is "which is taken back as one" sh -c \
    "! HANKLAB_BOOK=$out/book $BUILD/hanklab list --json | grep -q window"
book skein withdraw 2 >/dev/null
put save -F card-box=$card -F box=$two -F as=skein -F who=2
is "a withdrawn skein is not measured" says 400 "was withdrawn"

# ---- what else has a known colour --------------------------------------------

steps=fixtures/known/steps.jpg
grey=50,50,200,230 white=50,330,80,100 black=50,610,80,100 weld=407,228,151,442
post /photo -F "photo=@$steps"
is "a photo with steps of grey is kept" saved
known=${to%%\?*}

measure() { # DO CURL-OPTIONS...
    what=$1
    shift
    post "$known" -F "do=$what" -F card-box=$grey -F box=$weld "$@"
}

reads() { # the page has the colour that the command line reads with OPTIONS
    colour=$(beside measure "$steps" --card-box $grey --region $weld --csv \
        "$@" | sed -n 2p | tr -d '\r')
    page_has 200 "L* $(field 2) <i>&plusmn; $(field 5)<" \
        "a* $(field 3 | sed 's/-/−/') <i>" "b* $(field 4) <i>"
}

before=$(acts)
measure try -F as=look -F who=
is "a card alone is said to be so" page_has 200 "by the grey card" "alone."
measure try -F as=look -F who= -F known-is=neutral -F known-what=96.2 \
    -F known-box=$white -F known-is=neutral -F known-what=20.6,0.1,-0.4 \
    -F known-box=$black
is "white and black beside the card count as on the command line" \
    reads --neutral $white=96.2 --neutral $black=20.6,0.1,-0.4
is "and are named" page_has 200 \
    "Corrected by the grey card, the white (A) and the black (B)."
book card add "white side" --lab 96.2,-0.4,1.2 --u 0.2,0.1,0.1 >/dev/null
beside card add "white side" --lab 96.2,-0.4,1.2 --u 0.2,0.1,0.1 >/dev/null
before=$(acts)
measure try -F as=look -F who= -F known-is=neutral -F "known-what=white side" \
    -F known-box=$white
is "a card of the cupboard may be one of them" \
    reads --neutral "$white=white side"
is "a note says what to do, with the part of the photo it means" page_has 200 \
    "What would make it better" "beside it.</p>" 'aria-label="box 1 in the photo"'
measure try -F as=look -F who= -F known-is=card -F known-what= \
    -F known-box=150,60,90,200 -F known-is=sheet -F known-what= \
    -F known-box=300,760,60,100 -F known-is=sheet -F known-what= \
    -F known-box=1100,20,60,100
is "the card again and a sheet show the light" \
    reads --card-box 150,60,90,200 --sheet-box 300,760,60,100 \
    --sheet-box 1100,20,60,100
measure try -F as=look -F who= -F known-is=neutral -F known-what=40,40,40 \
    -F known-box=$white
is "what is no neutral is refused beside its field" page_has 400 \
    'id="known-what-0" name="known-what" value="40,40,40"' \
    'aria-invalid="true"' "is no neutral"
measure try -F as=look -F who= -F known-is=neutral -F known-what= \
    -F known-box=$white -F known-is=neutral -F known-what=20.6,0.1,-0.4 \
    -F known-box=$black
is "a place without a colour counts for nothing while it is tried" reads \
    --neutral $black=20.6,0.1,-0.4
is "and is asked for it" page_has 200 "say what it is"
measure save -F as=skein -F who=1 -F known-is=neutral -F known-what= \
    -F known-box=$white
is "it is refused when it is to be kept" says 400 "say what colour"
measure save -F as=skein -F who=1 -F known-is=neutral -F known-what=96 \
    -F known-box=
is "and so is one without a box" says 400 "has no box"
measure try -F as=look -F who= -F known-is=fibre \
    -F "known-what=grey lambswool" -F known-box=$white
is "and yarn of too much colour" says 400 "is no neutral"
measure try -F as=look -F who= -F known-is=fibre -F known-what=nothing \
    -F known-box=$white
is "and yarn that is not there" says 400 "nothing"
measure try -F as=look -F who= -F keep-camera=yes
is "a camera is kept by something" says 400 "the camera is kept by what shows"
cat >"$out/chart.csv" <<'CSV'
id,row,column,L,a,b
A1,1,1,96.2,-0.4,1.2
A2,1,2,80.8,-0.6,0.1
B1,2,1,66.4,-0.7,-0.3
B2,2,2,36.0,-0.3,-0.5
CSV
corners="40,320 260,320 260,580 40,580"
measure try -F as=look -F who= -F "chart=@$out/chart.csv" \
    -F "chart-corners=$corners"
is "a chart lies between its corners" \
    reads --chart "$out/chart.csv" --chart-corners "$corners"
is "and its values stay in the form" page_has 200 "A1,1,1,96.2,-0.4,1.2"
measure try -F as=look -F who= -F "chart-corners=$corners"
is "corners without values are refused" says 400 "its values are missing"
measure try -F as=look -F who= -F "chart=@$out/chart.csv"
is "values without corners too" says 400 "the chart&#39;s corners"
measure try -F as=look -F who= -F "chart=@$steps" -F "chart-corners=$corners"
is "a picture is no chart's file" says 400 "no text of a chart"
is "nothing changes by any of these" nothing_changed

measure copy -F as=skein -F who=1 -F known-is=neutral -F known-what=96.2 \
    -F known-box=$white
is "a corrected copy comes as a file" sh -c \
    "grep -qi 'content-disposition: attachment; filename=\"photo-[0-9]*-corrected.jpg\"' $out/head"
beside skein add "madder" --number 1 >/dev/null 2>&1
beside measure "$steps" --card-box $grey --skein 1=$weld --neutral $white=96.2 \
    --corrected "$out/copy.jpg" >/dev/null
is "the one that the command line writes" cmp "$out/page" "$out/copy.jpg"
is "and nothing changes by it" nothing_changed
measure copy -F as=skein -F who=1 -F known-is=neutral -F known-what=5 \
    -F known-box=$white
is "none is made of a picture that is refused" says 400 "lighter"

measure save -F as=skein -F who=1 -F known-is=neutral -F known-what=96.2 \
    -F known-box=$white -F known-is=neutral -F known-what=20.6 \
    -F known-box=$black -F keep-camera=yes
is "the reading is kept, and the camera" saved
is "as one act" test "$(acts)" = $((before + 1))
is "the book has the camera" sh -c \
    "HANKLAB_BOOK=$out/book $BUILD/hanklab camera list | grep -q Oravis"
post /photo -F "photo=@fixtures/known/one-card.jpg"
known=${to%%\?*}
post "$known" -F do=try -F card-box=46,66,158,178 -F box=305,156,114,328 \
    -F as=look -F who=
is "its next photo with a card alone uses it" page_has 200 \
    "Corrected by grey card and the curve of camera #1"
post "$known" -F do=try -F card-box=46,66,158,178 -F box=305,156,114,328 \
    -F as=look -F who= -F no-camera=yes
is "unless that is not wanted" page_has 200 "by the grey card" "alone."

# ---- what a reading does not tell --------------------------------------------

book treat dip 1 --with "iron: 2 %" --date 2025-08-01 >/dev/null
put save -F card-box=$card -F box=$one -F as=skein -F who=1
get /skein/1
is "a photo older than the skein's last step is asked about" page_has 200 \
    "Is this its colour now? the photo is of 2025-04-29" \
    "of 2025-08-01; if the picture was taken before that, say so"
is "how far the true colour may be off is shown as colours" page_has 200 \
    "The true colour may be as far off as the ends" \
    'viewBox="0 0 5 1" preserveAspectRatio="none"' "how even is the dye"

# ---- several photos of the same skeins ---------------------------------------

post /photo -F "photo=@fixtures/madder-alum.jpg"
a=${to%%\?*}
cat >"$out/turned.scene" <<'SCENE'
size 1600 1200
seed 88
table linen
card 80 340 280 400 0
card_lab 49.6 -0.3 0.5
skein 1 570 660 190 620 0.6 4 13
unlevel 0.04
skein 2 850 660 190 620 -0.4 -3 13
unlevel 0.04
lamp 1.01 1.00 0.98
exposure 0.9
noise 1
profile srgb
quality 90
orientation 1
make Vennelo
model Vennelo S4
taken 2025:09:02 11:00:00
SCENE
"$BUILD/scene" fixtures/lots.csv "$out" "$out/turned.scene"
post /photo -F "photo=@$out/turned.jpg"
b=${to%%\?*}
box2=520,450,100,400 card2=110,370,220,340
book skein withdraw 2 --back >/dev/null 2>&1
before=$(acts)
post "$a" -F do=and -F "and-photo=${b##*/}" -F card-box=$card -F card=\#1 \
    -F box=$one -F as=skein -F who=1 -F profile=
is "the form of the next photo carries this one along" page_has 200 \
    "action=\"$b\"" "Measured as one reading with photo ${a##*/}" \
    "name=\"1:card-box\" value=\"$card\"" "name=\"1:box\" value=\"$one\"" \
    'name="1:who" value="1"'
is "of two skeins for one it is asked which" page_has 200 "Say which is which: 1." \
    'name="who" value=""'
is "and where they seem to lie is marked" sh -c \
    "grep -q 'name=\"box\" value=\"[0-9]' $out/page"
post "$b" -F do=back -F "1:photo=${a##*/}" -F 1:card-box=$card -F 1:card=\#1 \
    -F 1:box=$one -F 1:as=skein -F 1:who=1 -F box=
is "and back again it is as it was" page_has 200 "action=\"$a\"" \
    "name=\"card-box\" value=\"$card\"" "name=\"box\" value=\"$one\"" \
    'name="who" value="1"'
post "$a" -F do=and -F "and-photo=${b##*/}" -F card-box=$card -F card=\#1 \
    -F box=$one -F as=look -F who=1
is "what was only looked at is read again" page_has 200 \
    'name="1:as" value="skein"'
get /measure/1
is "a measured photo opens with what was read from it" page_has 200 \
    "Measured from this photo: 1" "name=\"box\" value=\"$one\"" \
    'value="look" selected'
get "/record/card?measure=1"
is "a card put in meanwhile leads back to the photo" page_has 200 \
    'type="hidden" name="measure" value="1"'
post "$a" -F do=back -F box=
is "before the first there is none" says 400 "first of the photos"
post "$a" -F do=and -F card-box=$card -F card=\#1 -F box=$one -F as=skein \
    -F who=1
is "a next photo is chosen" says 400 "say which photo is the next"
post "$a" -F do=and -F card-box=$card -F card=\#1 -F box=$one -F as=skein \
    -F who=1 -F and-file=@fixtures/truth.csv
is "and is a photo" says 400 "not a JPEG"
both() { # DO CURL-OPTIONS...
    what=$1
    shift
    post "$b" -F "do=$what" -F "1:photo=${a##*/}" -F 1:card-box=$card \
        -F 1:card=\#1 -F 1:box=$one -F 1:as=skein -F 1:who=1 \
        -F card-box=$card2 -F card=\#1 -F box=$box2 -F as=skein -F who=1 "$@"
}
beside measure "$photo" --card-box $card --skein 1=$one --and "$out/turned.jpg" \
    --card-box $card2 --skein 1=$box2 --csv >"$out/mean"
colour=$(sed -n 2p "$out/mean" | tr -d '\r')
both try
is "their mean is the one of the command line" page_has 200 \
    "Mean of 2 photos" "L* $(field 2) a* $(field 3) b* $(field 4)"
is "and nothing is kept by looking" nothing_changed
both try -F 2:photo="${b##*/}" -F 2:card-box=$card2 -F 2:box=$box2 -F 2:as=look
is "the same photo twice is refused" says 400 "is in it already"
both try -F keep-camera=yes -F known-is=neutral -F known-what=50 \
    -F known-box=$card2
is "a camera is kept by one photo alone" says 400 "by one photo alone"
both try -F 2:photo=x
is "a photo that is none is refused" says 400 "no such photo"
both try -F 2:photo="${a##*/}" -F 2:card-box=1,2 -F 2:box=$one -F 2:as=look
is "what is wrong in a photo before is said with its number" \
    says 400 "photo ${a##*/}:"
is "nothing changes by any of these" nothing_changed
post "$b" -F do=save -F "1:photo=${a##*/}" -F 1:card-box=$card -F 1:box=$two \
    -F 1:as=skein -F 1:who=1 -F card-box=$card2 -F box=$box2 -F as=skein -F who=1
is "photos that contradict each other are not kept" says 400 "nothing to keep"
is "nothing changes by that" nothing_changed
was=$(readings book 1 | wc -l)
both save
is "one reading is kept" saved
is "and no more" test "$(readings book 1 | wc -l)" = $((was + 1))
mean() { # PROGRAM
    readings "$1" 1 | grep '"photos":2' | grep -o '"L":.*"illuminant"'
}
same_mean() {
    mean book && [ "$(mean book)" = "$(mean beside)" ]
}
is "it is the one that the command line keeps" same_mean
post /undo -F act="${to#*saved=}"
is "which is taken back as one" test "$(readings book 1 | wc -l)" = "$was"

# ---- large, slow, broken -------------------------------------------------------

cat >"$out/big.scene" <<'SCENE'
size 4000 3000
seed 101
table slate
card 175 825 750 1050 1.5
card_lab 49.6 -0.3 0.5
skein 11 1430 1665 537 2162 -0.8 -4 34
unlevel 0.070
lamp 0.99 1.00 1.01
exposure 0.85
noise 1
profile p3
quality 92
orientation 6
make Vennelo
model Vennelo S4
taken 2025:06:24 09:12:02
SCENE
"$BUILD/scene" fixtures/lots.csv "$out" "$out/big.scene"
post /photo -F "photo=@$out/big.jpg"
is "12 megapixels are kept" saved
big=${to%%\?*}
get "$big"
is "turned, it is shown upright" page_has 200 'viewBox="0 0 4000 3000"'
truth=$(sed -n 2p "$out/truth.csv")
(
    post "$big" -F do=try -F "card-box=$(echo "$truth" | cut -d, -f10-13)" \
        -F "box=$(echo "$truth" | cut -d, -f3-6)" -F as=look -F who=
    cp "$out/page" "$out/tried"
    echo "$code" >"$out/done"
) &
trying=$!
answered=0
while [ ! -f "$out/done" ]; do
    [ "$(curl -s -o /dev/null -w '%{http_code}' "$site/cupboard")" = 200 ] &&
        [ ! -f "$out/done" ] && answered=$((answered + 1))
done
wait $trying
is "it is measured" grep -q "only looked at" "$out/tried"
is "while other pages are answered" test "$answered" -gt 0
head -c 60000 "$photo" >"$out/cut.jpg"
post /photo -F "photo=@$out/cut.jpg"
cut=${to%%\?*}
before=$(acts)
post "$cut" -F do=save -F card-box=$card -F box=1200,1100,100,90 -F as=skein \
    -F who=1
is "a photo cut short is refused, with what to do" page_has 400 'role="alert"'
is "and nothing changes" nothing_changed
echo "1..$n"
