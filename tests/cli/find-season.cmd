# A season or month without a year is that of any year.
hanklab init --dyer Mine >said
n=0
for day in 2024-07-03 2025-08-31 2025-09-01 "winter 2023" 2026-01-10 "2024" \
    "2024-12-20 to 2025-03-02" "2025-05-20 - 2025-06-02" unknown; do
    n=$((n + 1))
    hanklab log "pot $n" --dyestuff weld --date "$day" --skeins 1 >said
done
for day in summer spring autumn winter May january "summer 2025" \
    "early summer 2025"; do
    echo "- $day"
    hanklab list --date "$day" --csv | cut -d, -f1,3 | tail -n +2 | tr '\n' ' '
    echo
done
hanklab find --date summer --json | grep -o '"skein":"[0-9]*"'
hanklab find --date "last summer"
