# What find cannot do, in one line each.
. "$HERE/tests/cli/shelf.sh"
ask() {
    echo "- $*"
    "$@"
    echo "exit $?"
}
ask hanklab find --like 34
ask hanklab find --like 137
ask hanklab find --like 48 --lab 40,0,0
ask hanklab find --lab 40,0
ask hanklab find --hex 6b6b2
ask hanklab find --ph warm
ask hanklab find --round last
ask hanklab find --dyestuff indigo
ask hanklab find --part left
ask hanklab find --limit -1
ask hanklab find --tolerance 0
