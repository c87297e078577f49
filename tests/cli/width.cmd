# Tables fit the width that COLUMNS names: words wrap in their cell, columns
# without room stand below their row, and no number is broken.
. "$HERE/tests/cli/shelf.sh"
ask() {
    echo "- $COLUMNS: $*"
    "$@" 2>/dev/null
}
for COLUMNS in 60 80; do
    export COLUMNS
    ask hanklab find olive
    ask hanklab find --like 48 --limit 3
    ask hanklab compare 31 32 48
    ask hanklab fade 1
    ask hanklab grid
    ask hanklab list --limit 5
done
COLUMNS=130 ask hanklab find olive
for COLUMNS in 45 50 55 60 66 72 79 80 95 110; do
    for q in "find olive" "find --like 48" "compare 31 32 48" "fade 1" grid \
        "grid --rows round --pin alum,madder" list "bath show 1" history; do
        # shellcheck disable=SC2086
        wide=$(hanklab $q 2>/dev/null | wc -L)
        [ "$wide" -le "$COLUMNS" ] || echo "$q: $wide of $COLUMNS columns"
    done
done
echo "- the same numbers at any width"
for COLUMNS in 40 200; do
    hanklab find --like 48 2>/dev/null | grep -o '[0-9]*\.[0-9]' | sort | cksum
done
