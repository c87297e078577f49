# The morning after: a pot that holds only a name is the round that is meant.
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
hanklab init --dyer me >/dev/null
ask hanklab log Tansy
ask hanklab log --of 1 --date 2026-08-02 --dyestuff "tansy: 100 g" \
    --mordant "alum: 12 %" --skein "weight=20 g"
ask hanklab show bath 1
echo "- blank skeins are those that were in it"
ask hanklab log Onion --skeins 2
ask hanklab log --of Onion --mordant "alum: 10 %" --weight "20 g"
echo "- what was dyed is not filled in but used again"
ask hanklab log --of Tansy --weight "20 g"
echo "- a second of that name is said"
ask hanklab log Cosmos
ask hanklab log Cosmos --date 2026-08-02
echo "- another day than the bare round has is another go"
ask hanklab log Dahlia --date 2026-08-01
ask hanklab log --of Dahlia --date 2026-08-02 --skein "weight=20 g"
echo "- a round said is the round"
ask hanklab log --of 3 --round "exhaust 1" --skein "weight=20 g"
