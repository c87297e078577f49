# Real life 10: pH as strips, meters and memory give it.
hanklab init --dyer Mine
n=0
for ph in "7-8" "about 9" "5 -> 9" "strip looked green" "6,5 meter" ""; do
    n=$((n + 1))
    echo "- $ph"
    hanklab log "pot $n" --ph "$ph" --skein "number=$n" 2>&1
    hanklab show $n --json | grep -o '"ph":"[^"]*"\|"ph":\[[^]]*\]\|"ph":null' | head -3
done
for ph in 14.5 -1 "7.8.9"; do
    hanklab log "no pot" --ph "$ph" --skeins 1
    echo "exit $?"
done
hanklab find --ph 7.5..8
hanklab find --ph 9..9
hanklab list baths
