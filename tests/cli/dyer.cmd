# What another dyer did: her bath, her skeins and her numbers, never as if mine.
. "$HERE/tests/cli/life.sh"
run() {
    echo "- $*"
    hanklab "$@"
}
hanklab dyer add Aino
run skein add hers --dyer Aino --number 137 --code A1
run skein add mine
run log "walnut hulls" --dyer Aino --date 2026-09-01 --dyestuff "walnut: 100 %" \
    --mordant none --skein "137; weight=20 g" --skein "weight=20 g" \
    --skein "a third; weight=20 g" --skein "Mine/1"
run log --of 1 --dyer Aino --round first --skein "number=1; weight=20 g"
run log --of "walnut hulls" --dyer aino --date 2026-09-02 --skein "weight=10 g"
run treat dip A1 "Aino/138" --dyer Aino --with "iron: 2 %" --date 2026-09-03
run log "walnut hulls" --dyer Aino
run log "my pot" --skein "Aino/137" --skein 1 --dyestuff tansy
run log "another" --skein "a third" --dyer Aino
show Aino/137
show bath Aino/1
run list baths
run log "my pot too" --skein Aino/138 --json
run show treatment 1
run history skein Aino/137
echo "- what cannot be"
keep log x --dyer Nobody
keep log --of Aino/1 --skein 1
keep log x --skein Aino/999
keep treat wash Aino/999
keep treat wash 137
echo "- called something else by now, and still found"
hanklab dyer edit Aino --name "Aino K."
run show Aino/139 | head -2
run list --owner aino
run log "late walnut" --dyer Aino --date 2026-09-04 --skein Aino/139
hanklab dyer edit "Aino K." --name "Aino L."
run show "Aino K./139" | head -2
run show bath Aino/1 | head -2
echo "- a new dyer of that name comes first"
hanklab dyer add Aino
run show Aino/139
run show "Aino K./139" | head -2
