# Slips of a tired hand: understood, or asked about in one line.
hanklab init --dyer Mine
say() { # ARGUMENTS of log
    echo "- $*"
    hanklab log "$@" 2>&1 | grep -v ' is new in the book'
}
echo "# a name without quotes, and words that are no name"
say Madder from the ditch
say Weld --dyestuff madder: 60 %
echo "# a round's bare number, the comma of a thousand"
say --of 1 --round 5
say --of 1 --round 20
say --of 1 --round 0
say Weld --weight "1,000 g" --skeins 1
say Weld --weight "1,250 g" --skeins 1
hanklab list baths
echo "# a key without its =, a dose where a skein is meant; a bare weight is one"
for skein in "weight 20 g" "weight: 20 g" "code A3" "alum: 12 %" "number 5" \
    "fibre grey wool; code=A3"; do
    say Kettle --skein "$skein"
done
say Kettle --skein "20 g; code=A3" --skein "lumpy" --skein "name=weight 20 g"
echo "# what a skein is called means that skein, as everywhere"
say Tansy --dyestuff tansy --skein A3 --skein LUMPY --skein "smooth"
say Weld --skein "code=A3" --skein "name=lumpy; weight=5 g"
say Weld --skein "#99"
say Weld --skein A3
hanklab list
