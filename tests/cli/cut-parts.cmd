# A piece may be a part of the whole; words that are no weight are refused.
hanklab init --dyer Mine >said
hanklab log tansy --dyestuff tansy --skein "number=7; weight=50 g" \
    --skein "number=8; weight=20 g" --skein "number=9" \
    --skein "number=10; weight=30-36 g" >said
hanklab cut 7 1/2 1/2
hanklab show 11 | grep -i weigh
hanklab cut 8 in two
hanklab cut 10 "in half"
echo "- without a weight the words are kept"
hanklab cut 9 1/2 "a third; code=T"
hanklab show 17 | grep weight
echo "- of what is left"
hanklab cut 11 "5 g"
hanklab cut 11 "½; weighed=dry; note=on the scale"
hanklab show 20 | grep weigh
echo "- what is no weight"
hanklab cut 20 in pieces
hanklab cut 20 0.5
hanklab cut 20 paler
hanklab cut 20 "unknown; name=paler end" "a few metres"
