# Skeins, and any other kind of record, as tables, CSV and JSON.
hanklab init --dyer Mine
hanklab list
hanklab list baths
hanklab list --csv
hanklab list --json
hanklab log madder --dyestuff "madder: 60 %" --mordant "alum: 12 %" --date 2026-05-03 \
    --fibre "grey wool" --skein "weight=22 g; code=A3; dip=iron: 2 %; colour=plum" \
    --skein "lumpy; weight=25 g" --skein "finished=no" >/dev/null 2>&1
hanklab log --of 1 --skeins 2 >/dev/null 2>&1
hanklab log "=1+1, \"quoted\"" --dyestuff weld --dyestuff tansy --skeins 1 >/dev/null 2>&1
hanklab list
hanklab list --limit 2
hanklab list --limit 0 --csv
hanklab list --limit 1 --json
hanklab list baths
hanklab list baths --csv
hanklab list materials --json
hanklab list treatments
hanklab list doses --limit 3
no() {
    hanklab list "$@"
    echo "exit $?"
}
no soup
no --limit many
no --csv --json
