# Real life 14: one nickname or code on two skeins; a tag misread (0/O, 1/7,
# B/8).
hanklab init --dyer Mine
hanklab log madder --dyestuff madder --skein "number=1; name=fox; code=A10" \
    --skein "number=2; name=fox; code=A10" --skein "number=3; code=B7" 2>&1
show() {
    echo "- $1"
    hanklab show "$1" 2>&1 | head -2
}
show fox
show A10
show AIO
show A1O
show a7o
show 87
show 8l
show B7
show 3
hanklab skein add other --code 81
show B7
hanklab find A10
hanklab log --of madder --skein "A10" 2>&1
echo "exit $?"
hanklab skein edit fox --place attic
echo "exit $?"
hanklab skein edit 2 --place attic
hanklab show 2
echo "- looked at, a misread tag is found; nothing is changed by one"
hanklab show 87 | head -1
for what in "skein edit 87 --place attic" "skein withdraw 87" "cut 87 half" \
    "treat dip 87 --with iron" "log woad --skein 87"; do
    # shellcheck disable=SC2086
    hanklab $what
    echo "exit $?"
done
