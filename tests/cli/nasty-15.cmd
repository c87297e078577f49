# Real life 15: emoji, a good glug, letters of the north, a note of 4000
# characters, a pasted table, a leading "=".
hanklab init --dyer Mine
hanklab log "🧶 Þorlákur's kettle" --dyestuff "karhunkääpä 🍄: 50 g" \
    --acid "vinegar: ½ tsp \"good glug\"" --skein "number=1; name=Ærö ð þ; weight=20 g" 2>&1
hanklab log long --note "$(printf '%4000s' '' | tr ' ' n)" --skein "number=2" 2>&1
hanklab log table --skein "number=3" --note "$(printf 'g\tmin\tpH\n20\t45\t7\n')" 2>&1
hanklab log "=1+1" --dyestuff "=cmd|x: 5 g" --skein "number=4; name==SUM(A1); colour=@home" 2>&1
hanklab log spoons --dyestuff "weld: 5 g = a spoon" --skeins 1 2>&1
hanklab log "a slip" --skein "=20 g"
echo "exit $?"
hanklab log "-5" --skein "number=6; name=+cloth" 2>&1
hanklab show 1
hanklab show bath 2 --json | grep -o 'n\{1000,\}' | wc -c
hanklab show bath 3
hanklab show bath 3 --json | grep -o '"note":"g[^"]*"'
hanklab list --csv
hanklab find "ærö"
hanklab find "KARHUNKÄÄPÄ"
hanklab log "bad $(printf '\377')" --skeins 1
echo "exit $?"
hanklab reckon --weight "20 g 🧶" --dyestuff "karhunkääpä 🍄: ½ oz" --acid "vinegar: ½ tsp \"good glug\"" 2>&1
hanklab reckon --weight "20 g" --dyestuff "$(printf 'weld\tpasted'): 5 g"
hanklab reckon --weight "=20 g" --dyestuff "weld: =5 g"
echo "exit $?"
