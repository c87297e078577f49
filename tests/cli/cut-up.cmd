# A skein that is cut up is its pieces from then on.
. "$HERE/tests/cli/life.sh"
run() {
    echo "- $*"
    hanklab "$@"
}
keep log "madder" --dyestuff "madder: 60 %" --skein "weight=20 g; code=8" --skein "weight=20 g" --skein "name=unweighed" --skeins 5
run cut 1 "12 g; code=8a" "8 g; code=8b"
run cut 2 half
run cut 3 half "half; code=3b"
run cut 4 1/3
run cut 4 half
run cut 5 "3 g"
run list
run cut 2 "10 g"
run cut 4 1/2 1/2
run list --csv
run show 4
run skein withdraw 8a
run list --limit 2
run origin list
echo "- nothing is done to what is all cut up, but what was forgotten comes before"
run cut 2 half
run ply 2 5
run log ivy --skein 2 --skein 5
run treat wash 3
run treat mordant 2 --with alum --before dye
echo "- more than all"
run cut 5 half half half
run cut 5 1/3 1/3 1/3
keep log "weld" --dyestuff weld --skein "number=30; weight=20 g"
run cut 30 "8 g" "12 g; code=30c" "30 g"
run list --dyestuff weld
run cut 30 "1 g"
