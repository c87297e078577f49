# A record's past is shown and brought back, as an act of its own, which undo
# takes back too; a withdrawn record has its past as well.
ask() {
    echo "- $*"
    "$@" | sed 's/20[0-9-]* [0-9:]*  /DAY CLOCK  /'
}
hanklab init --dyer Mine
hanklab skein add lumpy --weight "20 g" --colour olive
hanklab skein edit 1 --colour "dull olive" --length "80 m"
hanklab skein edit 1 --weight "21 g"
hanklab bath add "big kettle"
ask hanklab history
ask hanklab history skein 1
ask hanklab history skein 1 --at 2
ask hanklab history skein 1 --at 3
ask hanklab history skein 1 --at 1
ask hanklab history skein 1 --at 99
ask hanklab history skein 1 --back-to 4
ask hanklab history skein 1 --back-to 1
ask hanklab history skein 1 --back-to 99
ask hanklab history skein 1 --back-to 2
ask hanklab show 1
ask hanklab undo 3
ask hanklab undo
ask hanklab show 1
hanklab skein withdraw 1
ask hanklab history skein 1 --at 4
ask hanklab history skein 1 --back-to 4
ask hanklab history bath 1 --at 5
ask hanklab history kettle 1
ask hanklab act show 3
ask hanklab act show 99
ask hanklab history water 1 --at 2
ask hanklab history bath 1 --at 5 --json
ask hanklab act list --limit 2
