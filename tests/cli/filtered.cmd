# list narrowed down as find is, a code that find knows, control characters
# that never come into the book, --wet in JSON.
. "$HERE/tests/cli/shelf.sh"
ask() {
    echo "- $*" | tr -d '\033'
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
ask hanklab list --dyestuff weld --mordant iron
ask hanklab list --dyestuff weld --limit 2
ask hanklab list --per-fibre 50..70 --limit 2 --csv
ask hanklab list --wet --dip iron
ask hanklab list --round "exhaust 7"
ask hanklab list --owner nobody
ask hanklab list baths --dyestuff weld
ask hanklab list --withdrawn --dyestuff weld
quietly hanklab skein add "for the border" --code B10 --finished no
ask hanklab list --unfinished
# B10, BI0, 8lO: one code as far as pencil can be read.
ask hanklab find b1o
ask hanklab find b1o --json | grep -o '"by_[a-z_]*":[a-z][a-z]*'
ask hanklab find b11
hanklab find --wet --dyestuff madder --json | grep -o '"state":"[a-z ]*"' |
    sort | uniq -c
name=$(printf 'fox\n\302\233below\033[31m \177 ')
ask hanklab skein add "$name" --note "$(printf 'one\r\n\ttwo\033')"
hanklab show skein "fox below [31m" | tr '\t' '>' | grep fox
hanklab skein add --code "$(printf '\033')" && hanklab list --limit 0 | tail -n 2
