# The daily entry: pots, exhausts, spares, several mordants in one pot.
hanklab init --dyer Mine
echo "- all in one"
hanklab log "madder, big kettle" --date 2026-05-03 --dyestuff "madder: 100 %" \
    --mordant "alum: 12 %" --assist "cream of tartar: 6 %" --ph 7-8 \
    --temperature "160 F" --minutes "1 h" --water well --volume "3 l" \
    --fibre "grey wool" --skein "weight=22 g; code=A3" --skein "weight=25 g" \
    --skein "lumpy; weight=48 g; mordant=iron: 2 %; note=from the attic; old"
echo "- the next round, then one that was skipped"
hanklab log --of 1 --weight "20 g" --skeins 2
hanklab log --of "madder, big kettle" --round "exhaust 3" --skeins 1
hanklab log --of 1
echo "- skeins of the book again, one dipped, one not"
hanklab log --of 1 --round "exhaust 7" --skein 4 --skein "5; dip=none" \
    --skein number=137 --dip "iron: 2 %"
echo "- an exhaust of a pot nobody wrote down"
hanklab log "aunt's weld" --round "exhaust 5" --dyestuff "weld: 1:1" --skeins 1
echo "- nothing but a name, filled in later"
hanklab log "walnut hulls"
hanklab log --of "walnut hulls" --round first --mordant none \
    --dyestuff "walnut hulls: half a bucket" --minutes overnight --skeins 2
echo "- a vat"
hanklab log "blue" --kind vat --dyestuff "indigo: 50 g" --vat-dips 3 \
    --airing "15 min" --skein "5; dipped=one half"
echo "- a mix of old jars, topped up"
hanklab log "mixed jars" --poured "1: 2 l" --poured "2" --round "exhaust 1" \
    --dyestuff "tansy: 50 g fresh" --skeins 1
