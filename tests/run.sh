#!/bin/sh
# Runs every test, or those whose name is given, as many at a time as there are
# processors (JOBS), and counts what they said. Each prints TAP lines; the last
# line here is the sum over all of them.
#     run.sh [NAME]
#     run.sh --one NAME COMMAND...    one of them, for the first form alone
set -u
BUILD=${BUILD:-build/gcc}

one() { # NAME COMMAND...: adds up the TAP lines
    name=$1
    log=$OUT/$$.log # two may have one name
    shift
    "$@" >"$log" 2>&1
    status=$?
    # cmocka says "not ok 2 # SKIP name" of a test that was skipped.
    s=$(grep -Eci '^(not )?ok .*# *skip' "$log")
    p=$(grep '^ok ' "$log" | grep -vci '# *skip')
    f=$(grep '^not ok ' "$log" | grep -vci '# *skip')
    if [ "$status" -ne 0 ] && [ "$f" -eq 0 ]; then
        f=1
        echo "not ok - $name ended with status $status" >>"$log"
    elif [ $((p + f + s)) -eq 0 ]; then
        f=1
        echo "not ok - $name checked nothing" >>"$log"
    fi
    { # whole, not between the lines of another
        flock 9
        echo "$p $f $s" >>"$OUT/sums"
        if [ "$f" -ne 0 ]; then
            echo "--- $name"
            cat "$log"
        else
            grep '^#   ' "$log"
        fi
        printf '%-24s %4d passed %3d failed %3d skipped\n' "$name" "$p" "$f" "$s"
    } 9>"$OUT/lock"
}

if [ "${1:-}" = --one ]; then
    shift
    one "$@"
    exit 0
fi

OUT=$(mktemp -d) || exit 1
trap 'rm -rf "$OUT"' EXIT
CMOCKA_MESSAGE_OUTPUT=TAP
export CMOCKA_MESSAGE_OUTPUT BUILD OUT

# Every test, a line each: its name, its command. The longest begin, so that none
# of them runs alone at the end: the scripts, "web" before all, and these.
long="truth find faults backup shelf"
compiled() { # NAME...
    for name; do
        echo "$name $BUILD/tests/test_$name"
    done
}
all() {
    echo "web sh tests/web.test.sh"
    # shellcheck disable=SC2086 # names
    compiled $long
    for script in $(printf '%s\n' tests/*.test.sh | grep -v /web.test | sort -r); do
        name=$(basename "$script" .test.sh)
        echo "$name sh $script"
    done
    for src in tests/test_*.c; do
        name=$(basename "$src" .c)
        case " $long " in
        *" ${name#test_} "*) ;;
        *) compiled "${name#test_}" ;;
        esac
    done
    for src in tests/fuzz/fuzz_*.c; do
        name=$(basename "$src" .c)
        echo "$name $BUILD/fuzz/$name tests/fuzz/corpus/${name#fuzz_}"
    done
}

all | awk -v only="${1:-}" 'only == "" || $1 == only' >"$OUT/all"
xargs -r -L 1 -P "${JOBS:-$(nproc)}" sh tests/run.sh --one <"$OUT/all"
[ -s "$OUT/all" ] || echo "no test is called ${1:-}"
touch "$OUT/sums"
awk -v all="$(wc -l <"$OUT/all")" '
    { passed += $1; failed += $2; skipped += $3 }
    END {
        if (NR < all) print "cut off before they ended: " all - NR
        failed += all - NR + (all == 0)
        printf "%d passed, %d failed, %d skipped\n", passed, failed, skipped
        exit failed != 0
    }' "$OUT/sums"
