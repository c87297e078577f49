#!/bin/sh
# What comes out of the printer: PDFs made by Chromium, looked at as pictures,
# as text, and by a reader that has only a blurred picture of them.
set -u
BUILD=${BUILD:-build/gcc}
here=$(pwd)
case $BUILD in /*) ;; *) BUILD=$here/$BUILD ;; esac
PATH=$BUILD:$PATH
TZ=UTC LC_ALL=C.UTF-8 NO_COLOR=1
export PATH TZ LC_ALL NO_COLOR
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
HANKLAB_BOOK=$work/book
export HANKLAB_BOOK
cd "$work" || exit 1
n=0 bad=0

is() { # WHAT GOT WANT: one TAP line
    n=$((n + 1))
    if [ "$2" = "$3" ]; then
        echo "ok $n - $1"
    else
        bad=$((bad + 1))
        echo "not ok $n - $1"
        printf '%s\n' "got  $2" "want $3" | sed 's/^/# /'
    fi
}
has() { # WHAT FILE WORDS: on one line or over several
    is "$1" "$(tr -s '\n ' '  ' <"$2" | grep -cF -e "$3")" 1
}
has_not() { is "$1" "$(tr -s '\n ' '  ' <"$2" | grep -cF -e "$3")" 0; }
closing="call your poison centre or emergency number."

print() { # FILE WORDS...: a PDF and its text
    file=$1
    shift
    hanklab print "$@" --pdf "$file.pdf" 2>"$file.said" ||
        echo "not ok - print $*: $(cat "$file.said")"
    pdftotext "$file.pdf" "$file.txt"
}
pages() { pdfinfo "$1.pdf" | sed -n 's/^Pages: *//p'; }
size() { pdfinfo "$1.pdf" | sed -n 's/^Page size: *\([0-9]*\)[.0-9]* x \([0-9]*\).*/\1 \2/p'; }
tags_py() { /usr/bin/python3 "$here/tests/tags.py" "$@"; }

hanklab init --dyer Me >/dev/null

# ---- tags ------------------------------------------------------------------
# A4 is 210 x 297 mm, US Letter 8.5 x 11 in; a point is 1/72 in.
while read -r paper points; do
    print "$paper" tags 1-48 --paper "$paper"
    is "$paper: 48 tags are two sheets" "$(pages "$paper")" 2
    is "$paper: its size" "$(size "$paper")" "$points"
    pdftoppm -r 150 -gray "$paper.pdf" "$paper-150"
    is "$paper: every number is read off a blurred picture" \
        "$(tags_py read "$paper" 1 "$paper"-150-*.pgm)" "48 tags"
    pdftoppm -r 300 -gray "$paper.pdf" "$paper-300"
    high=$(tags_py height "$paper" "$paper"-300-*.pgm)
    is "$paper: digits are at least 14 mm high, these $high" \
        "$(echo "$high >= 14" | bc)" 1
done <<PAPERS
a4 594 841
letter 612 792
PAPERS
print more tags 960-983
pdftoppm -r 150 -gray more.pdf more-150
is "numbers of three and more digits are read, too" \
    "$(tags_py read a4 960 more-150-*.pgm)" "24 tags"
hanklab print tags 1-240 >knots.html
is "the knots of each say its number" "$(tags_py knots 1 knots.html)" "240 threads"
has_not "tags that name nothing warn of nothing" a4.txt "$closing"

# What a skein has been through stands on its tag, and what to beware of below.
hanklab log "Old recipes" --fibre wool --dyestuff "webcaps: 100 %" \
    --skein "number=1; weight=20 g; mordant=chrome; dip=iron" \
    --skein "number=2; weight=21 g; mordant=tin" \
    --skein "number=3; weight=22 g; mordant=copper" \
    --skein "number=4; name=<b>\"&; mordant=alum" >/dev/null 2>&1
print logged tags 1-24
is "they fit on the sheet with all their cautions" "$(pages logged)" 1
for words in "webcaps on chrome, first bath, dipped in iron" "20.0 g" \
    "causes cancer" "Burns skin and eyes" "very toxic to water life" \
    "Poisonous if swallowed" "orellanine" "dust irritates" "$closing" \
    '<b>"&'; do
    has "a tag of the book: $words" logged.txt "$words"
done

# Nine dangerous materials take more room than there is below the tags: a sheet
# of their own behind, and the tags say so.
HANKLAB_BOOK=$work/many
hanklab init --dyer Me >/dev/null
hanklab log "More recipes" --fibre wool --dyestuff "webcaps: 100 %" \
    --skein "number=31; weight=20 g; mordant=chrome; dip=iron" \
    --skein "number=32; weight=21 g; mordant=tin; dip=ammonia" \
    --skein "number=33; weight=22 g; mordant=copper; dip=washing soda" \
    --skein "number=34; mordant=rhubarb leaf; dip=lime" >/dev/null 2>&1
for paper in a4 letter; do
    print many tags 31-54 --paper $paper
    is "many cautions, $paper: a sheet behind the tags" "$(pages many)" 2
    pdftotext -l 1 many.pdf first.txt
    pdftotext -f 2 many.pdf second.txt
    has "many cautions, $paper: the tags say so" first.txt "the sheet behind this one"
    has "many cautions, $paper: and how to tie them" first.txt "Tie it on before"
    for words in "causes cancer" "Burns skin and eyes" "Fumes burn" "$closing"; do
        has "many cautions, $paper: $words" second.txt "$words"
    done
done
HANKLAB_BOOK=$work/book

# ---- sample cards: nobody else learns where it grew ---------------------------
hanklab material add "birch leaves" --kind dyestuff >/dev/null 2>&1
hanklab supply add "birch leaves" --name "from Foxhollow" --place Foxhollow \
    --source gathered >/dev/null 2>&1
hanklab log "Birch of Foxhollow" --fibre "wool" --date 2026-06-03 \
    --dyestuff "birch leaves: 100 %; supply=from Foxhollow" \
    --mordant "alum: 12 %" --note "down at Foxhollow" \
    --skein "number=5; weight=20 g; name=Foxhollow one" \
    --skein "number=6; weight=20 g; dip=iron" >log.said 2>&1
hanklab log "another pot" --date "summer 2025" --dyestuff "birch leaves: 50 %" \
    --skein "number=7; weight=20 g" >/dev/null 2>&1
for words in "bath 2" "Foxhollow"; do
    has "the book has it: $words" log.said "$words"
done
for paper in a4 letter; do
    print cards "cards" 5-6,1-3 --paper $paper
    for words in "birch leaves" "alum, dipped in iron" "first bath" "2026-06-03" \
        "Me" "wind the yarn here" "webcaps" chrome "causes cancer" \
        "Poisonous if swallowed" "$closing"; do
        has "cards, $paper: $words" cards.txt "$words"
    done
    is "cards, $paper: one sheet" "$(pages cards)" 1
    is "cards, $paper: no place" "$(grep -ci foxhollow cards.txt)" 0
done
hanklab print cards 5-7 >cards.html
has "a card tells the days its words were read as" cards.html "2025-06-01 to 2025-08-31"
is "not in what is behind them, either" "$(grep -ci foxhollow cards.html)" 0

# ---- a bath, a skein, what was reckoned, how to take the picture ---------------
print bath bath 1
hanklab print bath 1 >bath.html
is "what is never weighed out has no box to tick" \
    "$(grep -c 'p-tick"></span><b>chrome' bath.html)" 0
print skein skein 1
for words in "Old recipes" "webcaps" "chrome" "causes cancer" \
    "very toxic to water life" "Burns skin and eyes" orellanine "$closing"; do
    has "a bath: $words" bath.txt "$words"
done
for words in "Skein 1" "webcaps" "chrome" "causes cancer" "orellanine" \
    "first bath of bath 1" "$closing"; do
    has "a skein: $words" skein.txt "$words"
done
hanklab reckon --weight "3 x 20 g" --mordant "alum: 12 %" \
    --mordant "chrome: 3 %" --dyestuff "weld: 2:1" --water 30:1 --paper letter \
    --pdf weigh.pdf --book none 2>weigh.said
pdftotext -layout weigh.pdf weigh.txt
# trade: 12 % of 60 g is 7.2 g, 2:1 on it 120 g, 30 l a kg 1.8 l
for words in "7.2 g" "120 g" "1.8 l" "causes cancer" "dust irritates" \
    "$closing"; do
    has "what was reckoned: $words" weigh.txt "$words"
done
has "chrome is never weighed out" weigh.txt "chrome recorded, never reckoned"
hanklab plan make "Blanket stripe" --yarn wool \
    "yellow = 30 g; dyestuff=weld: 60 %; mordant=alum: 12 %" \
    "olive = 15 g; dyestuff=weld: 60 %; mordant=iron: 2 %" >/dev/null 2>&1
print plan plan
# 60 % of 30 and of 15 g, 12 % of 30 g, 2 % of 15 g
for words in "Blanket stripe" "weld 18 g" "weld 9 g" "alum 3.6 g" "iron 0.3 g" "burner" \
    "Poisonous if swallowed" "Iron, copper or tin skeins" "$closing"; do
    has "a work plan: $words" plan.txt "$words"
done
print photo photo --paper letter
has "how to take the picture" photo.txt "How to take the picture"
for file in bath skein weigh photo; do
    is "$file: a sheet" "$(pages $file)" 1
done

# ---- where it goes ----------------------------------------------------------
is "without a file it is HTML" \
    "$(hanklab print tags 7 | head -n 1)" "<!doctype html>"
hanklab print tags 7 --html seven.html
is "into a file, too" "$(hanklab print tags 7 | cmp - seven.html && echo same)" same
echo old >a4.pdf
hanklab print tags 7 --pdf a4.pdf
is "a file that is there gives way" "$(head -c 5 a4.pdf)" "%PDF-"
mkdir "with # & blank"
hanklab print tags 7 --pdf "with # & blank/7 %.pdf"
is "in a folder of any name" "$(head -c 5 "with # & blank/7 %.pdf")" "%PDF-"
is "nothing else is left there" "$(ls "with # & blank")" "7 %.pdf"

refused() { # STATUS LINE WORDS...
    status=$1 line=$2
    shift 2
    said=$(hanklab print "$@" 2>&1)
    is "print $*" "$? $said" "$status hanklab: $line"
}
refused 1 "there is no skein \"nine\" in the book" tags nine
refused 1 "say of which skeins: \"6-8\", or as they are called, commas between" cards
refused 1 "say which bath: its number or name" bath
refused 1 "say which skein: its number, code or name" skein
refused 1 "tags go upwards: 8-9, not 9-8" tags 9-8
refused 1 "at most 960 tags at once: print the others after these" tags 1-961
refused 1 "100000 is no number for a tag: 1 to 99999 have room on it" tags 100000
refused 1 "paper: \"A5\" is not A4 or Letter" tags 1 --paper A5
refused 2 "choose one of --pdf and --html" tags 1 --pdf a --html b
refused 2 "\"bags\" is not printed; see \"hanklab print --help\"" bags
refused 1 "cannot write no/tags.pdf: No such file or directory" \
    tags 1 --pdf no/tags.pdf

# ---- without a browser, and with one that fails ------------------------------
mkdir none broken
printf '#!/bin/sh\nexit 3\n' >broken/chromium
chmod +x broken/chromium
instead="write it with --html and print that from your browser"
PATH=$BUILD:$work/none
refused 1 "a PDF is made by Chromium, which is not installed: install it, or $instead" \
    tags 1 --pdf lone.pdf
hanklab print tags 7 >lone.html
PATH=$BUILD:$work/broken:/usr/bin:/bin
refused 1 "Chromium made no PDF of it: $instead" tags 1 --pdf lone.pdf
is "then there is no file, and HTML all the same" \
    "$(ls lone.pdf hanklab-print-* 2>/dev/null)$(cmp lone.html seven.html)" ""

echo "1..$n"
[ "$bad" -eq 0 ]
