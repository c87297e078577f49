# Real life 7: the weight forgotten, taken wet, or after dyeing.
hanklab init --dyer Mine
pot() { hanklab log "$@" --dyestuff "madder: 30 g" --mordant "alum: 12 %" 2>&1; }
pot forgotten --skeins 1
pot wet --skein "weight=102 g wet"
pot "wet too" --skein "weight=102 g; weighed=wet"
pot after --skein "weight=61 g; weighed=after"
pot dry --skein "weight=60 g"
for n in 1 2 3 4 5; do
    hanklab show $n
done
echo "- only known dry weights are a base of percentages"
hanklab find --per-fibre 1..1000
echo "- weighed later"
hanklab skein edit 2 --weight "58 g"
hanklab show 2
hanklab find --per-fibre 1..1000
echo "- said wet beside a dry weight, nothing kept"
hanklab log --of dry --skein "5; weight=102 g; weighed=wet"
echo "exit $?"
hanklab log --of dry --skein "5; weight=102 g wet"
echo "exit $?"
hanklab show 5
hanklab reckon --weight "102 g wet" --mordant "alum: 12 %"
echo "exit $?"
hanklab skein add spare --weight "80 g, still damp"
hanklab show spare
