# A mushroom of no sure name, then two that were mixed; the name is put right
# once, every record follows, and the old name is still found.
. "$HERE/tests/cli/life.sh"
keep log "stumps" --dyestuff "brown stump mushroom: 150 % dry" --date 2025-09-26 \
    --mordant "alum: 12 %" --skein "number=33; weight=20 g" \
    --skein "number=34; weight=20 g"
hanklab supply add "brown stump mushroom" --name "spruce stumps 2025" \
    --source gathered --sure guess --named-by "the foray leader" --state dry >said 2>&1
keep log "more stumps" --date 2025-10-03 \
    --dyestuff "brown stump mushroom: 100 %; supply=spruce stumps 2025" \
    --dyestuff "unknown orange: a handful; note=mixed in with it" \
    --skein "number=36; weight=20 g"
show 36
hanklab material edit "brown stump mushroom" --name "velvet-foot pax" \
    --latin "Tapinella atrotomentosa"
hanklab supply edit "spruce stumps 2025" --sure sure
for skein in 33 34 36; do
    hanklab show $skein | sed -n 2p
done
hanklab find --dyestuff "brown stump mushroom"
hanklab alias add "samettijalka" --material "velvet-foot pax" >said 2>&1
hanklab show material samettijalka
keep log "and more" --dyestuff "Brown Stump Mushroom: 80 %" --skein "weight=20 g"
show 37
hanklab history material "velvet-foot pax"
echo "- the species itself is put right, more than once"
hanklab material edit "velvet-foot pax" --latin "Phaeolus schweinitzii" >said
hanklab material edit "velvet-foot pax" --latin "Tapinella panuoides" >said
hanklab find --dyestuff "Phaeolus schweinitzii" | head -1
hanklab show material "Tapinella atrotomentosa"
echo "- a species of two materials is not taken from the other"
hanklab material add --name "dyer's polypore" --latin "Phaeolus schweinitzii" >said 2>&1
hanklab show material "Phaeolus schweinitzii" | head -1
