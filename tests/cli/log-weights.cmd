# A weight or a yarn said of skeins in the book fills what is open, and is
# never dropped without a word; one weight of several is shared among them.
hanklab init --dyer Mine >said
say() {
    echo "- $*"
    hanklab "$@" 2>&1
}
say log first --skeins 2 --skein "25 g; fibre=grey"
say log again --skein 1-2 --weight 30 --fibre silk
say treat wash 1-2 --weight "30 g" --fibre silk
say log third --skein "1; weight=25 g" --fibre flax
say log p --skeins 3 --weight "60 g in all" --mordant "alum: 10 %"
say log p2 --skeins 3 --weight "total 6 oz"
say log p3 --skeins 3 --weight "3 x 20 g"
say log p4 --skeins 2 --weight "3 x 20 g"
say log p5 --skeins 3 --skein "20 g" --weight "60 g together"
say log p6 --skeins 4
say log --of p6 --round first --skein "12-15; weight=about 100 g in all"
say log p7 --skeins 2
say log --of p7 --round first --weight "50 g together"
say log p8 --weight "50 g in all" --skein lump
hanklab list skeins
