# A step remembered later is put where it belongs in a skein's life.
. "$HERE/tests/cli/life.sh"
run() {
    echo "- $*"
    hanklab "$@"
}
keep log "madder" --dyestuff "madder: 60 %" --skeins 3 --weight "20 g" --date 2025-11-25
run treat mordant 1-2 --with alum --date 24.11.2025
run undo
run treat mordant 1-2 --with alum --date 24.11.2025 --before dye
run treat wash 1-3 --with soap
run log "weld" --dyestuff "weld: 60 %" --mordant "iron: 1 %" --skein 1 --skein 3 --date 2025-11-20
run undo
run log "weld" --dyestuff "weld: 60 %" --mordant "iron: 1 %" --dip "copper" --skein 1 --date 2025-11-20 --before dye
show 1
run log "tansy" --dyestuff tansy --skein 1 --date 2025-11-28
run treat dip 1 --with iron --date 2025-11-22
run log --of tansy --dip "iron: 2 %" --skein 1 --date 2025-11-01
run treat wash 1 --date 2025-11-01 --before 3
show 1
echo "- what cannot be"
keep treat wash 2 --before vat
keep treat wash 2 --before 9
keep treat wash --skein new --before dye
keep cut 2 "5 g"
keep treat wash 4 --before 1
keep treat wash 2 --date "next day"
keep treat wash 2 --date "26/11/25"
