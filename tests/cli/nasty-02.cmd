# Real life 2: ratio traps. The sides are named each time, and how to say the
# other order.
hanklab init --dyer Mine
for words in "2:1" "1:2 (yarn:dye)" "200%" "2x" "equal weight"; do
    echo "- $words"
    hanklab log "pot of $words" --skein "weight=50 g" --dyestuff "madder: $words" 2>&1
    hanklab reckon --weight "50 g" --dyestuff "madder: $words"
done
echo "- read back"
for n in 1 2 3 4 5; do
    hanklab show $n | grep "madder,"
    hanklab show $n --json | grep -o '"amount":"[^"]*","understood":[^,]*,"low_g":[^,]*'
done
