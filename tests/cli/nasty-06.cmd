# Real life 6: cut after dyeing, two skeins plied together.
hanklab init --dyer Mine
hanklab log madder --date 2026-05-03 --dyestuff "madder: 50 %" \
    --mordant "alum: 12 %" --skein "number=1; weight=50 g" 2>&1
hanklab log weld --date 2026-05-04 --dyestuff "weld: 1:1" \
    --skein "number=2; weight=50 g" 2>&1
hanklab skein add "cut short" --number 3 --weight "20 g"
hanklab skein add "cut long" --number 4 --weight "30 g"
hanklab origin add --child 3 --parent 1 --amount "20 g"
hanklab origin add --child 4 --parent 1 --amount "30 g"
hanklab skein add "plied" --number 5 --weight "100 g"
hanklab origin add --child 5 --parent 1
hanklab origin add --child 5 --parent 2
for n in 1 3 4 5; do
    hanklab show $n
done
hanklab find --dyestuff madder
hanklab find --dyestuff weld
