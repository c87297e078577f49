# A weight that was forgotten, taken wet, or taken after dyeing: percentages are
# of dry fibre, so no grams are made up, and the weight found later gives them.
. "$HERE/tests/cli/life.sh"
keep log "madder from the allotment" --dyestuff "madder: 60 %" --skein "number=90"
keep log "weld by the fence" --dyestuff "weld: 100 %" \
    --skein "number=91; weight=61 g; weighed=wet"
keep log "tansy in flower" --dyestuff "tansy: 200 %" \
    --skein "number=92; weight=24 g; weighed=after"
keep log "walnut hulls" --dyestuff "walnut hulls: 50 g" \
    --skein "number=93; weight=about 20 g; weighed=guessed"
for skein in 90 91 92 93; do
    show $skein
done
hanklab skein edit 90 --weight "3/4 oz"
show 90
hanklab skein edit 91 --weight "25 g" --weighed dry
show 91
