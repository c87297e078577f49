#!/bin/sh
# docs/figures.md still says what is measured: every table row that "accuracy"
# prints for the fixtures, and for the photographs of HANKLAB_TEST_PHOTOS where
# it names any that the page tells of, stands there, its numbers within 0.02
# (libjpeg versions may differ by one code). Prints TAP.
set -u
BUILD=${BUILD:-build/gcc}
out=$(mktemp -d) || exit 1
trap 'rm -rf "$out"' EXIT
n=0

rows() { # COMMAND...: rows of figures, without the heads
    "$@" | grep '^| ' | grep -v 'mean ΔE00'
}

# Whether a row of FILE is the same words, and numbers within 0.02.
stands() { # ROW FILE
    awk -v row="$1" '
        BEGIN { n = split(row, want, /[ (]+/) }
        function number(s) { return s ~ /^[0-9]+(\.[0-9]+)?$/ }
        {
            if (split($0, got, /[ (]+/) != n) next
            for (i = 1; i <= n; i++) {
                off = got[i] - want[i]
                if (got[i] != want[i] && !(number(got[i]) && number(want[i]) &&
                    off <= 0.0201 && off >= -0.0201)) next
            }
            found = 1
        }
        END { exit !found }' "$2"
}

check() { # WHAT STATUS
    n=$((n + 1))
    if [ "$2" -eq 0 ]; then
        echo "ok $n - $1"
    else
        echo "not ok $n - $1"
    fi
}

printf '| a | 3 | 0.25 | 7 of 7 (100 %%) |\n' >"$out/page"
stands '| a | 3 | 0.26 | 7 of 7 (100 %) |' "$out/page"
check "a figure may differ by 0.02" $?
! stands '| a | 3 | 0.28 | 7 of 7 (100 %) |' "$out/page" &&
    ! stands '| a | 3 | 0.25 | 6 of 7 (86 %) |' "$out/page" &&
    ! stands '| b | 3 | 0.25 | 7 of 7 (100 %) |' "$out/page"
check "and no more" $?

part() { # NAME LEAST: at least so many rows are looked for
    rows "$BUILD/accuracy" "$1" >"$out/$1"
    [ "$(wc -l <"$out/$1")" -ge "$2" ]
    check "$1 are measured" $?
    while read -r row; do
        name=${row#| }
        [ "$1" = charts ] && ! grep -qF "| ${name%% |*} |" docs/figures.md &&
            continue
        stands "$row" docs/figures.md
        check "docs/figures.md: $row" $?
    done <"$out/$1"
}
part fixtures 2
if [ -n "${HANKLAB_TEST_PHOTOS:-}" ]; then
    part charts 1
else
    n=$((n + 1))
    echo "ok $n - charts # SKIP HANKLAB_TEST_PHOTOS is not set"
fi
echo "1..$n"
