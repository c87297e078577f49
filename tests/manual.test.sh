#!/bin/sh
# The manual page is clean mdoc, bash, zsh and fish complete what is typed, and
# "make install" puts all of it where it is looked for.
set -u
BUILD=${BUILD:-build/gcc}
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

# What the last of the words can be, in each shell that there is.
in_bash() { # WORDS...
    bash -c '. <(hanklab completion bash) || exit
        COMP_WORDS=(hanklab "$@")
        COMP_CWORD=$#
        _hanklab hanklab
        printf "%s\n" "${COMPREPLY[@]}"' complete "$@"
}
in_fish() {
    # shellcheck disable=SC2016 # fish puts in its own argv
    fish --no-config -c 'source (hanklab completion fish | psub)
        complete -C "$argv"' "hanklab $*" | cut -f 1
}
# A terminal in which Tab puts in all there is, and the line is then shown.
in_zsh() {
    for last; do :; done
    zsh -f -c 'zmodload zsh/zpty
        zpty inner zsh -f -i
        zpty -w inner "PS1= PS2=; autoload -Uz compinit; '"$zsh_finds"'
            _all() { _main_complete; compstate[insert]=all compstate[list]= }
            zle -C all complete-word _all; bindkey \"^I\" all
            _say() { print -r -- \"<<\$BUFFER>>\"; exit }
            zle -N _say; bindkey \"^X\" _say; print -r READ\"\"Y"
        zpty -r inner said "*READY"
        zpty -w -n inner "$1"$'"'\\t\\C-x'"'
        zpty -r inner said "*<<*>>*"
        said=${said##*<<}
        print -rl -- ${=${said%%>>*}#${1% *}}' complete "hanklab $*" |
        grep -vxF -- "$last" # nothing was put in
}
zsh_finds='compinit -u -D; . <(hanklab completion zsh)'

# The order is the table's in one shell and the alphabet's in another.
completes() { # WANTED WORDS...
    said=$1
    want=$(echo "$said" | tr ' ' '\n' | sort)
    shift
    for shell in bash zsh fish; do
        what="in $shell, hanklab $* completes to \"$said\""
        if command -v $shell >/dev/null; then
            in_$shell "$@" 2>&1 | sort >"$work/said"
            [ "$(cat "$work/said")" = "$want" ]
            check "$what" $?
        else
            n=$((n + 1))
            echo "ok $n - $what # SKIP $shell is not installed"
        fi
    done
}

if command -v mandoc >/dev/null; then
    mandoc -T lint "$BUILD/hanklab.1" >"$work/said" 2>&1
    check "mandoc finds nothing in the page" $?
else
    n=$((n + 1))
    echo "ok $n - the page # SKIP mandoc is not installed"
fi

PATH=$(cd "$BUILD" && pwd):$PATH
completes "skein" ske
completes "act alias" a
completes "add" material a
completes "withdraw" skein w
completes "--weight --weighed" skein add --we
completes "" skein show --we
completes "--withdrawn" skein list --w
completes "--note" skein edit 3 --no
completes "--code" skein --json add --note '"for the border"' --cod
completes "dry wet after guessed" skein edit 3 --weighed ''
completes "yes no" card add grey --usual ''
completes "" skein add --weight ''
completes "" skein add -- --we
completes "--part" fade 3 --p
completes "--rows --round" grid --ro
completes "bath" show b
completes "reading region" list re
completes "grid" help gri
completes "edit" help skein e
completes "bash" completion b
completes "wash" treat w
completes "--json" show 137 --js
completes "--version" --v
completes "fixtures/madder-iron-dip.jpg" measure fixtures/madder-i
completes "fixtures/lots.csv" photo add fixtures/lo
completes "" find --book-keeping

make -s install DESTDIR="$work/root" PREFIX=/usr >"$work/said" 2>&1
check "it installs" $?
[ -x "$work/root/usr/bin/hanklab" ] &&
    cmp "$BUILD/hanklab.1" "$work/root/usr/share/man/man1/hanklab.1" \
        >"$work/said" 2>&1
check "the program and its page are there" $?
for place in bash-completion/completions/hanklab \
    zsh/site-functions/_hanklab fish/vendor_completions.d/hanklab.fish; do
    hanklab completion "${place%%[-/]*}" |
        cmp - "$work/root/usr/share/$place" >"$work/said" 2>&1
    check "and $place" $?
done
if command -v zsh >/dev/null; then
    zsh_finds="fpath=($work/root/usr/share/zsh/site-functions \$fpath); compinit -u -D"
    [ "$(in_zsh ske)" = skein ]
    check "zsh finds it by itself" $?
fi

echo "1..$n"
[ "$bad" -eq 0 ]
