#!/bin/sh
# A folder that may only be read: one line says what to put right, and nothing
# in the book changes. Root may write anywhere, so it steps down to nobody.
set -u
BUILD=${BUILD:-build/gcc}
work=$(mktemp -d) || exit 1
trap 'chmod -R u+w "$work"; rm -rf "$work"' EXIT
chmod 755 "$work"
cp "$BUILD/hanklab" fixtures/madder-alum.jpg "$work/"
book=$work/book
HOME=$work HANKLAB_BOOK=$book LC_ALL=C.UTF-8
export HOME HANKLAB_BOOK LC_ALL
down=
[ "$(id -u)" -ne 0 ] || down="setpriv --reuid 65534 --regid 65534 --clear-groups"

n=0 bad=0
check() { # NAME STATUS: of the command before
    n=$((n + 1))
    if [ "$2" -eq 0 ]; then
        echo "ok $n - $1"
    else
        bad=$((bad + 1))
        echo "not ok $n - $1"
        sed 's/^/# /' "$work/said"
    fi
}
run() { # COMMAND...: as one who may only read
    (cd "$work" && $down ./hanklab "$@") >"$work/said" 2>&1
}
sums() {
    (cd "$book" && find . -type f -exec sha256sum {} + | sort)
}
refused() { # NAME COMMAND...: one line, exit 1, nothing changed
    name=$1
    shift
    run "$@"
    status=$?
    [ "$status" -eq 1 ] && [ "$(wc -l <"$work/said")" -eq 1 ] &&
        grep -qi '^hanklab: .*\(read\|writ\|permission\)' "$work/said" &&
        [ "$(sums)" = "$before" ]
    check "$name" $?
}

"$work/hanklab" init --dyer "Weaving group" >"$work/said" 2>&1 &&
    "$work/hanklab" log "Madder" --skein "weight=20 g" >"$work/said" 2>&1
check "a book with a skein" $?
rm -f "$book"/book.db-wal "$book"/book.db-shm
find "$book" -type d -exec chmod 555 {} +
find "$book" -type f -exec chmod 444 {} +
chmod 555 "$work"
: >>"$work/said"
chmod 666 "$work/said"
before=$(sums)
refused "log" log "Weld"
refused "skein edit" skein edit 1 --colour fox
refused "measure" measure madder-alum.jpg --card-box 79,338,281,403 \
    --skein 1=490,375,172,557
refused "undo" undo
refused "init beside it" init "$work/another"
run measure madder-alum.jpg --card-box 79,338,281,403 \
    --card-lab 49.6,-0.3,0.5 --region 490,375,172,557
check "a colour is read all the same" $?
echo "1..$n"
[ "$bad" -eq 0 ]
