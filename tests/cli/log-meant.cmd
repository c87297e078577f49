# What a newcomer may have meant: asked or remarked in one line, with the way
# forward.
hanklab init --dyer Mine >said
say() {
    echo "- $*"
    hanklab "$@" 2>&1 | grep -v "Follow the product\|irritates eyes"
}
say log birch --skeins 3 --weight "20 g" --mordant "alum: 12 %"
echo "# a number alone may be how many"
say log madder --skein 1
say log weld --skein 2 --dyestuff weld
say log woad --skein "3; note=over"
say log x --skein 3-1
say log x --skein "3 skeins of 20 g"
say log x --skein "3 skeins"
say log x --skein "name=3-1"
echo "# a mordant that was forgotten"
say log --of birch --round first --mordant "tartar: 5 %"
say treat mordant "1 to 3" --with "tartar: 5 %" --before 2
say log --of birch --round first --skein 1 --mordant "iron: 1 %"
say log --of birch --round first --skein 3 --mordant "iron: 1 %"
say treat mordant 1 --with "iron: 1 %" --before 3
hanklab show 1 | grep '^  [0-9]'
say log tansy --skein 1-3 --mordant "copper: 1 %"
say log indigo --dyestuff indigo --vat-dips 3
echo "# several skeins changed in one, and what is taken"
say skein edit 1-2 --weight "18 g"
say skein edit 1-3 --weight "60 g in all"
say undo
say skein edit 1-9 --weight "18 g"
say skein edit 1 --code A3
say skein edit 2 --code a3
say skein edit 2 --code 3
say skein edit 2 --name b
say log last --skein "code=3"
