# Real life 8: days as people know them.
hanklab init --dyer Mine
for day in "unknown" "summer 2019" "?/10/23" "before 2015" "03/05/23" \
    "13/05/23" "05/13/23" "1987" "sometime" ""; do
    echo "- $day"
    hanklab log "pot of \"$day\"" --date "$day" --skeins 1 2>&1
done
hanklab list treatments
echo "- what will not do"
for day in "31/02/26" "2026-13-01" "12.12.12.12"; do
    hanklab log "pot" --date "$day" --skeins 1
    echo "exit $?"
done
echo "- dyed one evening, dried after midnight"
hanklab log late --date 2026-05-03 --skein "number=77; weight=20 g" 2>&1
hanklab reading add 77 --lab 50,20,20 --illuminant D50 --observer 2 --geometry 45/0 --on 2026-05-04
hanklab show 77
echo "- found by a range of days"
hanklab find --date "July 2019"
hanklab find --date "October 2023"
