#!/bin/sh
# The worked examples of docs/worked.md through the command line, by their
# numbers: each is asked as a dyer would type it, and what must stand in the
# answer is the example's own. Source: arithmetic on the exact values named
# there. No book is made: reckoning needs none.
set -u
BUILD=${BUILD:-build/gcc}
here=$(pwd)
case $BUILD in /*) ;; *) BUILD=$here/$BUILD ;; esac
PATH=$BUILD:$PATH
LC_ALL=C.UTF-8 NO_COLOR=1
export PATH LC_ALL NO_COLOR
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
cd "$work" || exit 1
HOME=$work HANKLAB_BOOK=$work/book
export HOME HANKLAB_BOOK

n=0 bad=0
# Lines of the answer are joined by one blank, so that WANT may span them.
row() { # NUMBER WANT ARGUMENT...
    n=$((n + 1))
    number=$1 want=$2
    shift 2
    hanklab reckon "$@" >got 2>said
    status=$?
    got=$(tr -s '\n ' '  ' <got)
    case $status:$got in
    0:*"$want"*) echo "ok $n - $number $want" ;;
    *)
        bad=$((bad + 1))
        echo "not ok $n - $number (status $status)"
        echo "# want: $want"
        echo "# got:  $got"
        sed 's/^/# /' said
        ;;
    esac
}

# Mordant
row W01 "alum 12 g" --weight "100 g" --mordant "alum: 12 %"
row W02 "alum 10.2 g" --weight "85 g" --mordant "alum: 12 %"
row W02 "cream of tartar 5.1 g" --weight "85 g" \
    --mordant "alum: 12 %" --assist "cream of tartar: 6 %"
row W03 "alum 7.2 g" --weight "48 g" --mordant "alum: 15 %"
row W03 "cream of tartar 2.88 g" --weight "48 g" --assist "cream of tartar: 6 %"
row W04 "95 g, dry from 22 g + 25 g + 48 g" --weight "22 g" --weight "25 g" \
    --weight "48 g" --mordant "alum: 12 %"
row W04 "alum 11.4 g" --weight "22 g" --weight "25 g" --weight "48 g" \
    --mordant "alum: 12 %"
row W05 "iron 0.14 g" --weight "7 g" --mordant "iron: 2 %"
row W05 "too little for a scale that shows 1 g: use a solution" \
    --weight "7 g" --mordant "iron: 2 %"
row W06 "alum 12 % 9 g on 75 g" --weight "75 g" --mordant "alum: 9 g"
row W07 '"fibre_low_g":538.6409' --json --weight "1 lb 3 oz" --mordant "alum: 10 %"
row W07 '"low_g":53.8641' --json --weight "1 lb 3 oz" --mordant "alum: 10 %"
row W08 "63.8 g = 2.25 oz, dry" --weight "2 1/4 oz" --mordant "alum: 12 %"
row W08 "alum 7.65 g = 0.27 oz" --weight "2 1/4 oz" --mordant "alum: 12 %"
row W09 "25 % of the fibre" --weight "1 lb" --mordant "alum: 4 oz per lb"
row W09 "cream of tartar 28.3 g = 1 oz 6.25 % of the fibre" --weight "1 lb" \
    --assist "cream of tartar: 1 oz per lb"
row W10 "3.13 % of the fibre" --weight "1 lb" --mordant "alum: 1/2 oz per lb"
row W10 '"low_wof_pct":3.125' --json --weight "1 lb" \
    --mordant "alum: 1/2 oz per lb"
row W11 "alum 7.03 g = 0.248 oz" --weight "3.1 oz" --mordant "alum: 8 %"
row W11 "cream of tartar 6.15 g = 0.217 oz" --weight "3.1oz" \
    --assist "cream of tartar: 7 %"
# Common practice, no source.
row P01 "madder 29.4 g" --weight "18 g" --weight "31 g" --dyestuff "madder: 60 %" \
    --mordant "alum: 12 %; on=18 g" --mordant "iron: 2 %; on=31 g"
row P01 "alum 2.16 g" --weight "18 g" --weight "31 g" \
    --mordant "alum: 12 %; on=18 g"

# Dyestuff
row R01 "madder 100 g, 200 % 2:1 dyestuff to fibre; if it was fibre to dyestuff" \
    --weight "50 g" --dyestuff "madder: 2:1"
row R02 "madder 25 g, 50 % 1:2 dyestuff to fibre" \
    --weight "50 g" --dyestuff "madder: 1:2"
row R03 "madder 100 g, 200 % 1:2 fibre to dyestuff" \
    --weight "50 g" --dyestuff "madder: 1:2 (yarn:dye)"
row R04 "heather 33 g, 150 %" --weight "22 g" --dyestuff "heather: 1.5:1"
row R05 "webcaps 200 % 44 g on 22 g, dried 2:1 dyestuff to fibre" \
    --weight "22 g" --dyestuff "webcaps: 44 g dried"
# Ten to one: common practice, no source.
row R06 "dry about 100 g, an estimate" --weight "100 g" \
    --dyestuff "velvet-foot pax: 1000 g fresh"
row R06 "dry about 125 g, an estimate" --weight "100 g" \
    --dyestuff "velvet-foot pax: 1000 g fresh; fresh-per-dry=8"
row R07 "madder 60 %" --weight "100 g" --dyestuff "madder: 60 g"
row R07 "all dyestuffs 100 g, 100 %" --weight "100 g" --dyestuff "madder: 60 g" \
    --dyestuff "weld: 30 g" --dyestuff "tansy: 10 g"
row R08 "first bath 200 %, exhaust 1 100 %, exhaust 2 66.7 %, exhaust 3 50 %" \
    --weight "100 g" --dyestuff "walnut hulls: 200 g" \
    --exhaust "100 g" --exhaust "100 g" --exhaust "100 g"

# Liquor
row L01 "water 3 l" --weight "100 g" --water "30:1"
row L01 "water 3 l" --weight "100 g" --water "1:30"
row L02 "water 10 l" --weight "250 g" --water "40 l per kg"
row L03 "13.6 l = 3.59 US or 2.99 imperial gallons" --weight "1 lb" --water "30:1"
row L03 '"low_l":13.6078' --json --weight "1 lb" --water "30:1"
row L04 "water 33.4 l per kg" --weight "1 lb" --water "4 US gal"
row L04 "33.4:1" --weight "1 lb" --water "4 gal per lb"
row L05 "water 40.1 l per kg" --weight "1 lb" --water "4 imperial gal"
row L06 "takes 200 g of fibre at most" --pot "6 l" --water "30:1"
row L06 "too small for this fibre" --pot "6 l" --water "30:1" --weight "220 g"

# Lengths that need no splitting of a hank
row S09 "399.59 m" "437 yd"

# Stock solutions, vinegar, soda
row D01 "120 ml of a 10 % stock" --weight "100 g" \
    --mordant "alum: 12 %; stock=10 %"
row D02 "72 ml of a 10 % stock" --weight "48 g" --mordant "alum: 15 %; stock=10 %"
row D03 "iron 0.44 g" --weight "22 g" --dip "iron: 2 %; stock=1 %"
row D03 "44 ml of a 1 % stock" --weight "22 g" --dip "iron: 2 %; stock=1 %"
row D04 "50 ml of the 10 % and 200 ml of water" --stock "250 ml of 2 % from 10 %"
row D05 "100 g, dissolved and made up to 1000 ml" --stock "1 l of 10 %"
row D05 "100 g and 900 g of water 10 % is read as 10 g in 100 g in all" \
    --stock "1 kg of 10 % in all"
row D05 "100 g into 1000 ml of water 10 % is read as 10 g into 100 ml" \
    --stock "1 l of 10 % into water"
row D06 "8.33 ml of the 24 %" --stock "40 ml of 5 % from 24 %"
row D06 "holding 2 g" --stock "40 ml of 5 % from 24 %"
# The molar masses stand in src/dye/salt.c; by hand: 10 g of alum over 474.39
# g/mol, 297.2 to 333.2 g of the sulfate hold as much aluminium.
row D07 "as aluminium sulfate: 6.26 to 7.02 g, as much aluminium" \
    --weight "100 g" --mordant "alum: 10 %"
row D07 "as potassium alum: 14.2 to 16 g, as much aluminium" \
    --weight "100 g" --mordant "aluminium sulfate: 10 %"
row D07 "as dried-out crystals: 6.11 g, as much iron" \
    --weight "100 g" --mordant "iron: 10 %"
row D07 "as white powder without water: 6.39 g, as much copper" \
    --weight "100 g" --mordant "copper sulfate: 10 %"
row D07 "as soda ash: 3.7 g" --weight "100 g" \
    --alkali "washing-soda crystals: 10 g"

# Units
for pair in 115:46.11 140:60 160:71.11 180:82.22 190:87.78 200:93.33; do
    row C01 "${pair#*:} C" "${pair%:*} F"
done
for pair in 46:114.8 70:158 80:176 90:194; do
    row C02 "${pair#*:} F" "${pair%:*} C"
done
row C03 "14.17 g" "1/2 oz"
row C03 "28.35 g" "1 oz"
row C03 "49.61 g" "1 3/4 oz"
row C03 "99.22 g" "3 1/2 oz"
row C04 "473.18 ml" "1 US pint"
row C04 "946.35 ml" "1 quart"
row C04 "568.26 ml" "1 UK pint"
row C04 "1.14 l" "1 imperial quart"
row C05 "29.57 ml" "1 fl oz"
row C05 "28.41 ml" "1 imperial fl oz"
row C06 "14.79 to 20 ml" "1 level tablespoon"
row C07 "4.93 to 5 ml" "1 level teaspoon"

[ ! -e book ] || {
    echo "# a book was made"
    bad=1
}
echo "1..$n"
[ "$bad" -eq 0 ]
