#!/bin/sh
# The examples in README.md, docs/*.md and the manual page are true: in blocks that begin with
# ```console every line "$ hanklab ..." is run, and must succeed and print what
# stands below it. A file is one folder with one book; a book is made first
# unless the file makes its own. A line of "..." stands for any lines, and a
# command goes on in the next line when it ends in a backslash.
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

# Writes N.cmd, N.want and N.line into a folder for each example of a file.
take_apart() { # FILE FOLDER
    awk -v to="$2" '
        /^ *```/ {
            inside = !inside && /^ *```console *$/
            more = 0
            on = 0
            next
        }
        !inside { next }
        more { sub(/^ *> ?/, "") }
        more || /^\$ hanklab/ {
            if (!more) {
                n++
                sub(/^\$ /, "")
                base = to "/" sprintf("%04d", n)
                print NR >(base ".line")
                printf "" >(base ".want")
            }
            print >(base ".cmd")
            more = /\\$/
            on = 1
            next
        }
        /^\$ / { on = 0; next }
        on { print >(base ".want") }' "$1"
}

# Whether GOT is WANT, where "..." stands for any lines.
same() { # WANT GOT
    awk -v want="$1" '
        function fits(i, k) {
            while (i <= nw && w[i] != "...") {
                if (k > ng || w[i] != g[k]) return 0
                i++
                k++
            }
            if (i > nw) return k == ng + 1
            while (k <= ng + 1)
                if (fits(i + 1, k++)) return 1
            return 0
        }
        BEGIN { while ((getline line <want) > 0) w[++nw] = line }
        { g[++ng] = $0 }
        END { exit !fits(1, 1) }' "$2"
}

n=0 bad=0
for file in README.md docs/*.md docs/*.mdoc; do
    [ -f "$file" ] || continue
    name=$(basename "$file")
    dir=$work/$name
    mkdir -p "$dir/take" "$dir/in"
    take_apart "$file" "$dir/take"
    ls "$dir"/take/*.cmd >/dev/null 2>&1 || continue
    HOME=$dir/in HANKLAB_BOOK=$dir/in/book
    export HOME HANKLAB_BOOK
    grep -q '^hanklab init' "$dir"/take/*.cmd ||
        hanklab init --dyer Me >"$dir/init" 2>&1
    for cmd in "$dir"/take/*.cmd; do
        base=${cmd%.cmd}
        n=$((n + 1))
        # Examples name files of the project by their path in it.
        (cd "$dir/in" && ln -sfn "$here/fixtures" fixtures &&
            sh "$cmd") >"$base.raw" 2>&1 </dev/null
        status=$?
        sed "s|$dir/in/||g" "$base.raw" >"$base.got"
        what="$file line $(cat "$base.line")"
        if [ "$status" -eq 0 ] && same "$base.want" "$base.got"; then
            echo "ok $n - $what"
        else
            bad=$((bad + 1))
            echo "not ok $n - $what (status $status)"
            sed 's/^/# $ /' "$cmd"
            diff -u "$base.want" "$base.got" | sed 's/^/# /'
        fi
    done
done
if [ "$n" -eq 0 ]; then
    echo "not ok 1 - there are examples to run"
    bad=1
fi
echo "1..$n"
[ "$bad" -eq 0 ]
