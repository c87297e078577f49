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
echo "- a light test: the covered part of one skein against the exposed one"
test_of() {
    quietly hanklab reading add 81 --illuminant D65/10 --geometry d/8 "$@"
}
test_of --part covered --lab 50,2.6772,-79.7751
ask hanklab compare 81
test_of --part exposed --lab 50,0,-82.7485
# 2.0425 of that pair: Sharma, Wu, Dalal 2005, table 1; its plain distance is
# sqrt(2.6772^2 + 2.9734^2) = 4.0011
ask hanklab compare 81
ask hanklab compare 81 --csv
ask hanklab compare 81 --json
ask hanklab compare 81 --part covered
ask hanklab compare 81 82 --part covered
echo "- one skein measured again: both are kept, and held against each other"
ask hanklab compare 31 --readings
quietly hanklab reading add 31 --lab 41,-2,18 --on 2026-10-20 \
    --illuminant D50 --observer 2 --geometry 45/0
hanklab compare 31 --readings
hanklab compare 31 --readings --csv
ask hanklab compare 31 32 --readings
