# Skeins whose colours go together.
. "$HERE/tests/cli/shelf.sh"
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
ask hanklab palette 4
ask hanklab palette 3 --even --no-dip
ask hanklab palette 2 --one-pot
ask hanklab palette --fit olive --fit 42,45,28 --fit 51
ask hanklab palette 4 --keep 33 --leave 47 --leave 51
ask hanklab palette 3 --csv
ask hanklab palette 2 --dyestuff madder --json
echo "- what cannot be"
ask hanklab palette
ask hanklab palette 1
ask hanklab palette 99
ask hanklab palette few
ask hanklab palette 3 --one-pot --dyestuff tansy
ask hanklab palette 12 --dyestuff madder
ask hanklab palette 3 --keep 34
ask hanklab palette 3 --keep 31 --leave 31
ask hanklab palette --fit "some colour"
ask hanklab palette --fit 40
ask hanklab palette 2 --fit 31
ask hanklab palette --fit 31 --even
