# A piece of a measured skein is seen as that one was, until something is done
# to it or it is read itself; the reading counts once.
hanklab init --dyer Mine
q() { "$@" >/dev/null 2>&1; }
q hanklab card add grey --lab 49.6,-0.3,0.5 --usual yes
q hanklab log madder --date 2025-04-20 --dyestuff "madder: 60 %" --mordant "alum: 12 %" \
    --skeins 2 --weight "20 g"
q hanklab measure "$HERE/fixtures/madder-alum.jpg" --card-box 79,338,281,403 \
    --skein 1=490,375,172,557 --skein 2=773,367,165,564
q hanklab cut 1 half half
hanklab list
hanklab show 3
hanklab show 3 --json | tr , '\n' | grep as_skein
echo "- answers go by the one that was read"
hanklab grid --rows dyestuff --columns mordant
hanklab find red
echo "- cut again"
q hanklab cut 3 "4 g"
hanklab list
echo "- dipped, a piece is no longer as it was; nor is what is cut off it then"
q hanklab treat dip 4 --with iron
q hanklab cut 4 half
hanklab list
echo "- read itself"
q hanklab reading add --skein 3 --lab 41,40,20 --source instrument --illuminant D50 --observer 2 --geometry d/8
hanklab list
echo "- the reading withdrawn that they went by"
q hanklab reading withdraw 1
hanklab list
echo "- plied from two that were read: neither"
q hanklab reading back 1
q hanklab ply 2 5
hanklab list --csv
