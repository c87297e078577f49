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
