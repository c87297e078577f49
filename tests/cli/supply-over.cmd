# More taken of a batch than there was is said, and kept as typed.
hanklab init --dyer Me
h() {
    echo "- $*"
    hanklab "$@" 2>&1 || echo "exit $?"
}
h material add madder
h supply add madder --name "from the allotment" --amount "50 g" --state dry
h log "One" --date 2025-05-01 --dyestuff "madder: 20 g; state=dry; supply=from the allotment" --skein "weight=20 g"
h log "Two" --date 2025-05-02 --dyestuff "madder: 250 %; state=dry; supply=1" --skein "weight=20 g"
h supply edit 1 --amount "100 g"
h log "Three" --date 2025-05-03 --dyestuff "madder: 30 g; state=dry; supply=1" --skein "weight=20 g"
