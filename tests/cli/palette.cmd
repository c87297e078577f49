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
ask hanklab palette 4 --keep 33 --without 47 --without 51
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
ask hanklab palette 3 --keep 31 --without 31
ask hanklab palette --fit "some colour"
ask hanklab palette --fit 40
ask hanklab palette 2 --fit 31
ask hanklab palette --fit 31 --even
echo "- far enough apart"
ask hanklab palette --fit olive --fit 40,0,16 --apart 8
ask hanklab palette 3 --apart 20 --dyestuff madder
ask hanklab palette 3 --apart far
echo "- what is foretold"
quietly hanklab reading add --fibre "two-ply wool" --lab 85,1.5,12 \
    --u 0.6,0.5,0.6 --illuminant D50 --observer 2 --geometry 45/0
ask hanklab palette 3 --dyestuff madder --foretold
ask hanklab palette 2 --dyestuff madder --foretold --keep "foretold 1 alum"
ask hanklab palette 2 --dyestuff madder --foretold --keep "foretold 1 alum" --csv
ask hanklab palette 3 --dyestuff madder --foretold --without "foretold 1 alum"
ask hanklab palette 2 --dyestuff madder --round "exhaust 3" --foretold
ask hanklab palette 3 --keep "foretold 1 alum"
