# One bath, round by round.
. "$HERE/tests/cli/shelf.sh"
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
ask hanklab fade "madder kettle"
ask hanklab fade 2
quietly hanklab dose add madder --bath 1 --amount "50 g" --before-round 3
ask hanklab fade 1 --csv
ask hanklab fade 2 --json
ask hanklab fade 9
quietly hanklab bath add "empty pot"
ask hanklab fade "empty pot"
