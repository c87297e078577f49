#!/bin/sh
# Each tests/cli/NAME.cmd, run in an empty folder with a book of its own named
# by HANKLAB_BOOK, must print NAME.out, what goes to standard error included.
# UPDATE=1 writes the .out files anew; read their diff before you keep it.
set -u
BUILD=${BUILD:-build/gcc}
here=$(pwd)
case $BUILD in /*) ;; *) BUILD=$here/$BUILD ;; esac
PATH=$BUILD:$PATH
TZ=UTC LC_ALL=C.UTF-8 NO_COLOR=1
export PATH TZ LC_ALL NO_COLOR
unset COLORTERM COLUMNS XDG_DATA_HOME
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT

n=0 bad=0
for cmd in tests/cli/*.cmd; do
    [ -f "$cmd" ] || continue
    n=$((n + 1))
    name=$(basename "$cmd" .cmd)
    mkdir "$work/$name"
    (
        cd "$work/$name" || exit 1
        HOME=$work/$name HANKLAB_BOOK=$work/$name/book HERE=$here
        export HOME HANKLAB_BOOK HERE
        sh "$here/$cmd" >"$work/$name.got" 2>&1 </dev/null
    )
    # The folder has another name each time.
    sed "s|$work/$name|FOLDER|g" "$work/$name.got" >"$work/got"
    [ -z "${UPDATE:-}" ] || cp "$work/got" "tests/cli/$name.out"
    if diff -u "tests/cli/$name.out" "$work/got" >"$work/diff" 2>&1; then
        echo "ok $n - $name"
    else
        bad=$((bad + 1))
        echo "not ok $n - $name"
        sed 's/^/# /' "$work/diff"
    fi
done
[ "$n" -gt 0 ] || bad=1
echo "1..$n"
[ "$bad" -eq 0 ]
