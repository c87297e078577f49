# Three answers, and never between different lights.
. "$HERE/tests/cli/shelf.sh"
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
ask hanklab compare 31 32 35
ask hanklab compare 31 32 --tolerance 4
ask hanklab compare 48 80 31 32 33
ask hanklab compare 31 34
ask hanklab compare 31 82
ask hanklab compare 49 53
lab 49 40,-2,17 --illuminant D65 --observer 10
ask hanklab compare 49 53
ask hanklab compare 31 31
ask hanklab compare 31
quietly hanklab reading add 82 --lab 38,-1,15 --on 2026-09-18 \
    --illuminant D50 --observer 2 --geometry 45/0
ask hanklab compare 81 82
ask hanklab compare 31 32 33 35 37 --all --csv
ask hanklab compare 31 35 --json
