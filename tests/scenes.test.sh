#!/bin/sh
# Draws the photographs of fixtures/ anew and compares them with the committed
# ones: pixels within one code (libjpeg versions may differ by that), Exif and
# profile byte for byte, and the same truth. Prints TAP.
set -u
BUILD=${BUILD:-build/gcc}
out=$(mktemp -d) || exit 1
trap 'rm -rf "$out"' EXIT
n=0

is() { # WHAT COMMAND...
    n=$((n + 1))
    what=$1
    shift
    if "$@" >"$out/said" 2>&1; then
        echo "ok $n - $what"
    else
        echo "not ok $n - $what"
        sed 's/^/# /' "$out/said"
    fi
}

# The wanted file's colours may differ in the last decimal.
same_truth() {
    paste -d, "$1" "$2" | awk -F, '
        NR == 1 { half = NF / 2 }
        { for (i = 1; i <= half; i++) {
            apart = $i - $(i + half)
            if ($i != $(i + half) && !(apart <= 0.0015 && apart >= -0.0015 &&
                apart != 0)) { print "row " NR ": " $i ", " $(i + half); bad = 1 }
        } }
        END { exit bad }'
}

fails() { # COMMAND...
    ! "$@"
}

refuses() { # WANTED COMMAND...
    wanted=$1
    shift
    if said=$("$@" 2>&1); then
        return 1
    fi
    echo "$said"
    [ "$said" = "$wanted" ]
}

# Two at a time: a photograph takes a second or so.
mkdir "$out/a" "$out/b"
set -- fixtures/scenes/*.scene
half=$(($# / 2)) first='' second='' i=0
for scene in "$@"; do
    i=$((i + 1))
    if [ $i -le $half ]; then
        first="$first $scene"
    else
        second="$second $scene"
    fi
done
# shellcheck disable=SC2086 # one word a scene
"$BUILD/scene" fixtures/lots.csv "$out/a" $first &
# shellcheck disable=SC2086
is "every scene file is drawn" \
    "$BUILD/scene" fixtures/lots.csv "$out/b" $second
wait
{ cat "$out/a/truth.csv" && sed 1d "$out/b/truth.csv"; } >"$out/truth.csv"
mv "$out"/b/*.jpg "$out/a"
is "the truth is as committed" same_truth "$out/truth.csv" fixtures/truth.csv
for scene in "$@"; do
    name=$(basename "$scene" .scene).jpg
    is "$name is as committed" \
        "$BUILD/scene" --compare "$out/a/$name" "fixtures/$name"
done
for of in known light goes; do
    mkdir "$out/$of"
    "$BUILD/scene" fixtures/lots.csv "$out/$of" fixtures/$of/*.scene
    for scene in fixtures/"$of"/*.scene; do
        name=$of/$(basename "$scene" .scene).jpg
        is "$name is as committed" "$BUILD/scene" --compare \
            "$out/$name" "fixtures/$name"
    done
    is "and its truth" same_truth "$out/$of/truth.csv" fixtures/$of/truth.csv
done

# The comparison itself must be able to fail.
set -- "$out"/a/*.jpg
is "two photographs are told apart" fails \
    "$BUILD/scene" --compare "$1" "$2"
for what in 'tone 0.02' 'model Another'; do
    mkdir -p "$out/c"
    cp fixtures/scenes/undyed.scene "$out/c"
    echo "$what" >>"$out/c/undyed.scene"
    "$BUILD/scene" fixtures/lots.csv "$out/c" "$out/c/undyed.scene"
    is "a change is seen: $what" fails \
        "$BUILD/scene" --compare "$out/c/undyed.jpg" fixtures/undyed.jpg
done

# Mistakes in a scene file say where they are.
printf 'size 800 600\nskein 999 400 300 100 400 0 0 9\n' >"$out/x.scene"
is "an unknown skein is refused" refuses \
    "scene: $out/x.scene:2: no such skein in the lots" \
    "$BUILD/scene" fixtures/lots.csv "$out" "$out/x.scene"
printf 'sise 800 600\n' >"$out/x.scene"
is "an unknown word is refused" refuses \
    "scene: $out/x.scene:1: a line is not understood" \
    "$BUILD/scene" fixtures/lots.csv "$out" "$out/x.scene"

# The same seed gives the same set, another seed another.
for run in d e f; do
    mkdir "$out/$run"
    seed=7
    [ $run = f ] && seed=8
    "$BUILD/scene" --set repeat --count 2 --seed $seed "$out/$run"
done
is "a set repeats" cmp "$out/d/truth.csv" "$out/e/truth.csv"
is "a set repeats, byte for byte" \
    cmp "$out/d/repeat-0002-b.jpg" "$out/e/repeat-0002-b.jpg"
is "another seed gives another set" fails \
    cmp -s "$out/d/truth.csv" "$out/f/truth.csv"
echo "1..$n"
