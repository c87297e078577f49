# What was taken back can be done again, and what is withdrawn is left alone.
hanklab init --dyer Mine
no() {
    "$@"
    echo "exit $?"
}
hanklab log kettle --dyestuff madder --fibre wool --skein "number=1" 2>&1
hanklab undo
hanklab log kettle --dyestuff madder --fibre wool --skein "number=2" \
    --skein "number=3"
hanklab origin add 2 --parent 3
hanklab origin withdraw 1
hanklab origin add 3 --parent 2
no hanklab origin back 1
no hanklab entry edit 2 --skein 3
hanklab skein withdraw 3
no hanklab measure "$HERE/fixtures/madder-alum.jpg" --card-box 79,338,281,403 \
    --skein 3=490,375,172,557
no hanklab material withdraw none
no hanklab treatment show 0
# A skein that was withdrawn is in no sum and no list: 20 % of 24 g and of
# 16 g are 8 g, of the 24 g that are left 4.8 g.
hanklab log tub --dyestuff "weld: 20 %" --skein "weight=24 g" \
    --skein "weight=16 g" 2>&1
hanklab show bath tub
hanklab skein withdraw 5
hanklab show bath tub
hanklab fade tub
hanklab cut 4 "6 g" "4 g" >/dev/null
hanklab show 4 | grep "left of it"
hanklab skein withdraw 6
hanklab show 4 | grep "left of it"
# What was put away together comes back together: the place on the photo with
# the colour, all of a pot with the pot and its skein; each waits for what it
# stands on.
hanklab measure "$HERE/fixtures/madder-alum.jpg" --card-box 79,338,281,403 \
    --skein 4=490,375,172,557 >/dev/null
hanklab undo >/dev/null
hanklab reading back 1
hanklab list regions
hanklab photo back 1
hanklab list regions
hanklab log jar --dyestuff "tansy: 100 %" --mordant "alum: 12 %" \
    --skein "number=20; weight=10 g" --skein "number=21" >/dev/null
hanklab undo >/dev/null
hanklab bath back 4
hanklab skein back 20
hanklab list materials --withdrawn
hanklab show 20
hanklab skein back 21
hanklab show bath jar
# A plan with its colours and its steps.
hanklab plan make stripe "red = 10 g; dyestuff=madder: 50 %; mordant=alum: 12 %" \
    >/dev/null 2>&1
hanklab undo >/dev/null
hanklab project back stripe
hanklab list wishes
hanklab list tasks --csv | wc -l
