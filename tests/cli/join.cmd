# Two materials of the book that are one stuff: joined in one act, found by both
# names, and parted again by one undo.
. "$HERE/tests/cli/life.sh"
keep log may --dyestuff birch --mordant "alum: 12 %" --skein "weight=20 g"
keep log june --dyestuff "birch leaves: 30 g" --skein "weight=20 g"
hanklab material edit birch --latin "Betula pendula" --note "by the lake"
hanklab material edit "birch leaves" --note "from the market"
hanklab alias add koivu --material birch >said 2>&1
hanklab supply add birch --name "bag of birch" >said 2>&1
echo "- what cannot be"
keep material edit birch --name "birch leaves"
keep material edit birch --join
keep material edit birch --name "birch leaves" --note x --join
keep material edit birch --name birch --join
keep material edit birch --name soup --join
keep material edit birch --name alum --join
keep material edit alum --name none --join
keep material edit none --name alum --join
keep fibre edit x --name y --join
hanklab history | sed -n 2p | cut -c1-3
echo "- joined: one record has all, and every name finds it"
hanklab material edit birch --name "birch leaves" --join
for name in "birch leaves" birch koivu "Betula pendula"; do
    hanklab find --dyestuff "$name" | sed 1,2d
done
hanklab show material birch
show 1
hanklab show supply "bag of birch" | sed -n 1,3p
keep log july --dyestuff "Birch: 50 %" --skein "weight=20 g"
hanklab material list
keep material back birch
echo "- parted again"
hanklab undo >said
hanklab undo
hanklab find --dyestuff birch | sed 1,2d
hanklab show material koivu
show 1
hanklab material list
