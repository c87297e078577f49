# Mean colours by two things.
. "$HERE/tests/cli/shelf.sh"
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
ask hanklab grid --no-dip --round first
ask hanklab grid --rows dyestuff --columns round --mordant alum --pin weld,first\ bath
ask hanklab grid --rows dip --columns year --csv
ask hanklab grid --rows ph --columns fibre
ask hanklab grid --rows bath --columns mordant --dyestuff tansy --json
ask hanklab grid --rows per-fibre --columns mordant
ask hanklab grid --rows dyestuff --columns per-fibre --per-fibre 50..80
ask hanklab grid --pin indigo,alum
ask hanklab grid --pin tansy,alum --no-dip
ask hanklab grid --rows mood
ask hanklab grid --rows round --columns round
hanklab skein add plain --number 90 >/dev/null
hanklab log unknown --dyestuff weld --skein number=91 >/dev/null
ask hanklab grid --round first --no-dip
