# What was done, taken back, and the past of a record.
hanklab init --dyer Mine
log() { hanklab log "$@" >/dev/null 2>&1; }
# When it was done is another time each time.
history() { hanklab history "$@" | sed 's/20[0-9][0-9]-[0-9-]* [0-9:]*/WHEN/'; }
no() {
    hanklab "$@"
    echo "exit $?"
}
log madder --date 2026-05-03 --dyestuff "madder: 60 %" --skein "weight=20 g; mordant=alum: 12 %"
hanklab skein edit 1 --colour fox --note "for the border"
hanklab skein edit 1 --weight "3/4 oz" --note ""
hanklab measure "$HERE/fixtures/madder-alum.jpg" --card-box 79,338,281,403 \
    --skein 1=490,375,172,557 >/dev/null
history
echo "- the life of a skein, and what an act changed"
history skein 1
history 3
history 3 --json
echo "- as it was, and back to that"
hanklab history skein 1 --at 3
hanklab history skein 1 --at 2
hanklab history skein 1 --back-to 3
hanklab skein show 1
echo "- undo takes the last act back that stands"
hanklab undo
echo "- a measurement undone leaves the skein without its colour"
hanklab undo
hanklab skein show 1
echo "- an undo undone brings it back"
hanklab undo 8
hanklab list
history
echo "- an act that something later stands on is refused"
no undo 2
no undo 3
echo "- what there is not"
no undo 99
last=$(hanklab history | awk 'NR == 2 { print $1 }')
no undo $((last + 1))
no undo 0
no undo soup
no undo 6
no undo 1
no history 99
no history soup
no history soup 1
no history skein 99
no history skein 1 --at 99
no history skein 1 --at 1
no history skein 1 --back-to 1
no history skein 1 --at soup
no history --limit 0
history --limit 2
history --csv | tail -n 1
hanklab history --limit 1 --json | sed 's/"at_ms":[0-9]*/"at_ms":WHEN/'
echo "- a photo undone is gone, and what was said of it needs no word"
hanklab photo add "$HERE/fixtures/tansy-alum.jpg" --shows tag --note "the tag"
hanklab undo
hanklab photo back 1
hanklab photo edit 1 --shows finished
hanklab undo --csv
echo "- what is undone is told with its skeins"
hanklab log "two more" --skeins 2 >/dev/null
hanklab treat dip 2 3 --with "ammonia: a splash" >/dev/null
hanklab history skein 3
hanklab history bath "two more"
hanklab undo
hanklab log "over madder" --dyestuff woad --skein 2 --skein 3 --skein "weight=5 g" >/dev/null
hanklab undo
hanklab treat wash 2 3 >/dev/null
hanklab undo
echo "- what was done to a skein, changed, and as it was before"
hanklab entry edit 1 --dipped half
hanklab history entry 1
hanklab history entry 1 --at 2
hanklab undo
