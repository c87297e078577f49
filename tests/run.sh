#!/bin/sh
# Runs every test, or those whose name is given, and counts what they said.
# Each prints TAP lines; the last line here is the sum over all of them.
set -u
BUILD=${BUILD:-build/gcc}
out=$(mktemp -d) || exit 1
trap 'rm -rf "$out"' EXIT
passed=0 failed=0 skipped=0

count() { # NAME STATUS: adds up the TAP lines of $out/log
    p=$(grep -c '^ok ' "$out/log")
    s=$(grep -ci '^ok .*# *skip' "$out/log")
    f=$(grep -c '^not ok ' "$out/log")
    if [ "$2" -ne 0 ] && [ "$f" -eq 0 ]; then
        f=1
        echo "not ok - $1 ended with status $2" >>"$out/log"
    fi
    passed=$((passed + p - s)) skipped=$((skipped + s)) failed=$((failed + f))
    if [ "$f" -ne 0 ]; then
        echo "--- $1"
        cat "$out/log"
    else
        grep '^#' "$out/log" | grep -v '^# *ok' | grep '^#   ' || :
    fi
    printf '%-24s %4d passed %3d failed %3d skipped\n' "$1" $((p - s)) "$f" "$s"
}

run() { # NAME COMMAND...
    name=$1
    shift
    "$@" >"$out/log" 2>&1
    count "$name" $?
}

wanted() { # NAME
    [ -z "${only:-}" ] || [ "$only" = "$1" ]
}
only=${1:-}

CMOCKA_MESSAGE_OUTPUT=TAP
export CMOCKA_MESSAGE_OUTPUT BUILD
for src in tests/test_*.c; do
    name=$(basename "$src" .c)
    name=${name#test_}
    wanted "$name" && run "$name" "$BUILD/tests/test_$name"
done
for src in tests/fuzz/fuzz_*.c; do
    [ -f "$src" ] || continue
    name=$(basename "$src" .c)
    wanted "$name" && run "$name" "$BUILD/fuzz/$name" "tests/fuzz/corpus/${name#fuzz_}"
done
for script in tests/*.test.sh; do
    [ -f "$script" ] || continue
    name=$(basename "$script" .test.sh)
    wanted "$name" && run "$name" sh "$script"
done
[ -z "$only" ] || [ $((passed + failed + skipped)) -gt 0 ] || {
    echo "no test is called $only"
    failed=1
}
echo "$passed passed, $failed failed, $skipped skipped"
[ "$failed" -eq 0 ]
