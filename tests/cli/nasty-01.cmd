# Real life 1: fractions and units as they stand on scales and in old notes.
hanklab init --dyer Mine
for words in "1 3/4 oz" "1¾" "2 1/4oz" "1#" "1 lb 3" "0,5" "3.1oz"; do
    echo "- $words"
    hanklab log "pot of $words" --skein "weight=$words" \
        --dyestuff "weld: $words" 2>&1
    hanklab skein list --csv | tail -1
    hanklab reckon --weight "$words" --dyestuff "weld: 50 %"
    hanklab reckon --weight "100 g" --dyestuff "weld: $words"
done
