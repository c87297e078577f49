#!/bin/sh
# Every worked example of docs/worked.md has a test of its number, and every
# number that a test names stands in the document. All but the splitting of a
# hank and colours are asked of hanklab reckon too.
set -u
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT

grep -o '^| [A-Z][0-9][0-9] |' docs/worked.md | tr -d '| ' |
    sort >"$work/told"
grep -Eoh '"[CDELPRSW][0-9][0-9][ "]' tests/test_reckon.c tests/test_amount.c \
    tests/test_colour.c tests/test_split.c |
    tr -d '" ' | sort -u >"$work/tested"

grep -Eo '^ *row [A-Z][0-9][0-9] ' tests/reckon-rows.test.sh | awk '{ print $2 }' |
    sort -u >"$work/asked"
grep -v '^[ES]' "$work/told" >"$work/askable"

n=0 bad=0
check() { # WHAT FILE: passes when the file is empty
    n=$((n + 1))
    if [ -s "$2" ]; then
        bad=1
        echo "not ok $n - $1"
        sed 's/^/# /' "$2"
    else
        echo "ok $n - $1"
    fi
}

uniq -d "$work/told" >"$work/twice"
comm -23 "$work/told" "$work/tested" >"$work/untested"
comm -13 "$work/told" "$work/tested" >"$work/untold"
comm -23 "$work/askable" "$work/asked" >"$work/unasked"
comm -13 "$work/told" "$work/asked" >"$work/unknown"
[ "$(wc -l <"$work/told")" -ge 40 ] || echo "too few" >"$work/few"
check "no number twice" "$work/twice"
check "each example has a test" "$work/untested"
check "each tested number is told" "$work/untold"
check "each example but splitting and colours is asked of hanklab reckon" "$work/unasked"
check "each number asked is told" "$work/unknown"
check "there are examples" "$work/few"
echo "1..$n"
[ "$bad" -eq 0 ]
