#!/bin/sh
# The manual page is clean mdoc, the completion is clean bash and completes
# what is typed, and "make install" puts both where they are looked for.
set -u
BUILD=${BUILD:-build/gcc}
hanklab=$BUILD/hanklab
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
n=0 bad=0

check() { # WHAT STATUS: one TAP line; details in $work/said
    n=$((n + 1))
    if [ "$2" -eq 0 ]; then
        echo "ok $n - $1"
    else
        bad=$((bad + 1))
        echo "not ok $n - $1"
        sed 's/^/# /' "$work/said"
    fi
}

# What stands behind the words so far, and completes the last of them.
completes() { # WANTED WORDS...
    want=$1
    shift
    bash -c '. "$1" || exit
        shift
        COMP_WORDS=(hanklab "$@")
        COMP_CWORD=$#
        _hanklab
        echo "${COMPREPLY[*]}"' complete "$work/completion" "$@" \
        >"$work/said" 2>&1
    [ "$(cat "$work/said")" = "$want" ]
    check "hanklab $* completes to \"$want\"" $?
}

if command -v mandoc >/dev/null; then
    mandoc -T lint "$BUILD/hanklab.1" >"$work/said" 2>&1
    check "mandoc finds nothing in the page" $?
else
    n=$((n + 1))
    echo "ok $n - the page # SKIP mandoc is not installed"
fi

"$hanklab" completion bash >"$work/completion" 2>"$work/said" &&
    bash -n "$work/completion" >"$work/said" 2>&1
check "the completion is bash" $?
completes "skein" ske
completes "act alias" a
completes "add" material a
completes "withdraw" skein w
completes "--weight --weighed" skein add --we
completes "" skein show --we
completes "--withdrawn" skein list --w
completes "--note" skein edit '#3' --no
completes "dry wet after guessed" skein edit 3 --weighed ''
completes "yes no" card add grey --usual ''
completes "" skein add --weight ''
completes "--part" fade 3 --p
completes "--rows --round" grid --ro
completes "bath" show b
completes "reading region" list re
completes "grid" help gri
completes "bash" completion ''
completes "--json" show 137 --js
completes "fixtures/madder-iron-dip.jpg" measure fixtures/madder-i
completes "fixtures/lots.csv" photo add fixtures/lo
completes "" find --book-keeping

make -s install DESTDIR="$work/root" PREFIX=/usr >"$work/said" 2>&1
check "it installs" $?
[ -x "$work/root/usr/bin/hanklab" ] &&
    cmp "$BUILD/hanklab.1" "$work/root/usr/share/man/man1/hanklab.1" \
        >"$work/said" 2>&1 &&
    cmp "$work/completion" \
        "$work/root/usr/share/bash-completion/completions/hanklab" \
        >"$work/said" 2>&1
check "the program, its page and its completion are there" $?

echo "1..$n"
[ "$bad" -eq 0 ]
