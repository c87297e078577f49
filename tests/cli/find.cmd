# Skeins by words, by colours, by another skein, and how they were made.
. "$HERE/tests/cli/shelf.sh"
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
ask hanklab find olive
ask hanklab find dark greyish reddish brown
ask hanklab find FOX
ask hanklab find moss by the north wall
ask hanklab find --like 48
ask hanklab find --lab 42,45,28 --limit 2
ask hanklab find --hex '#6b6b2e' --dyestuff weld
ask hanklab find --dyestuff madder --mordant alum --round "exhaust 3" --no-dip
ask hanklab find --dip iron --fibre "thin singles"
ask hanklab find --ph 8.5..9 --round first
ask hanklab find --date "July 2025"
ask hanklab find --per-fibre 50..70 --mordant iron
ask hanklab find --wet --dyestuff madder --lab 50,20,20
ask hanklab find olive --mordant iron --csv
ask hanklab find --like 48 --limit 1 --json
echo "- a word that was said before the last step says so, until it is said anew"
quietly hanklab log "woad vat" --dyestuff woad --skein 82
quietly hanklab treat wash 35
ask hanklab find "not quite olive"
ask hanklab find fox
ask hanklab show 82
quietly hanklab skein edit 82 --colour "dark olive"
ask hanklab find "dark olive" --dyestuff woad
quietly hanklab skein edit 82 --colour "not quite olive"
quietly hanklab treat dip 82 --with "iron: 2 %"
ask hanklab list --dyestuff woad
quietly hanklab undo
ask hanklab list --dyestuff woad
echo "- a material is found by a word of its name, and hinted at"
quietly hanklab log "birch pot" --dyestuff "birch leaves" --mordant "alum: 5 %" --skein 34
quietly hanklab material edit tansy --latin "Tanacetum vulgare"
ask hanklab find birch
ask hanklab find alum
ask hanklab find --dyestuff birch
ask hanklab find --dyestuff vulgare --round first --mordant iron
quietly hanklab material add "birch bark" --kind dyestuff
ask hanklab find birch
ask hanklab find --dyestuff birch
ask hanklab find --dyestuff larch
