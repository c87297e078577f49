#!/bin/sh
# Runs every test, or those whose name is given, and counts what they said.
# Each prints TAP lines; the last line here is the sum over all of them.
set -u
BUILD=${BUILD:-build/gcc}
out=$(mktemp -d) || exit 1
trap 'rm -rf "$out"' EXIT
passed=0 failed=0 skipped=0

count() { # NAME STATUS: adds up the TAP lines of $out/log
    # cmocka says "not ok 2 # SKIP name" of a test that was skipped.
    s=$(grep -Eci '^(not )?ok .*# *skip' "$out/log")
    p=$(grep '^ok ' "$out/log" | grep -vci '# *skip')
    f=$(grep '^not ok ' "$out/log" | grep -vci '# *skip')
    if [ "$2" -ne 0 ] && [ "$f" -eq 0 ]; then
        f=1
        echo "not ok - $1 ended with status $2" >>"$out/log"
    elif [ $((p + f + s)) -eq 0 ]; then
        f=1
        echo "not ok - $1 checked nothing" >>"$out/log"
    fi
    passed=$((passed + p)) skipped=$((skipped + s)) failed=$((failed + f))
    if [ "$f" -ne 0 ]; then
        echo "--- $1"
        cat "$out/log"
    else
        grep '^#' "$out/log" | grep -v '^# *ok' | grep '^#   ' || :
    fi
    printf '%-24s %4d passed %3d failed %3d skipped\n' "$1" "$p" "$f" "$s"
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
    [ -f "$src" ] || continue
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
[ $((passed + failed + skipped)) -gt 0 ] || {
    echo "no test${only:+ is called $only}"
    failed=1
}
echo "$passed passed, $failed failed, $skipped skipped"
[ "$failed" -eq 0 ]
