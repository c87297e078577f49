# At the pot with wet hands: a name and a photo, the rest tomorrow.
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
cp "$HERE/fixtures/madder-alum.jpg" pot.jpg
hanklab init --dyer me >/dev/null
ask hanklab log "pot by the stove" --photo pot.jpg
ask hanklab log "another pot"
ask hanklab find --unfinished
ask hanklab list --unfinished
ask hanklab list --unfinished --csv
ask hanklab show 1
echo "- what it was comes later"
ask hanklab log --of "pot by the stove" --round first --dyestuff "tansy: 200 %" \
    --date 2026-08-01 --skein "1; weight=20 g; mordant=alum: 12 %; finished=yes"
ask hanklab find --unfinished
ask hanklab log "third" --photo pot.jpg --skein "weight=20 g" \
    --skein "weight=21 g"
ask hanklab photo list
echo "- what is no photo keeps nothing"
ask hanklab log "fourth" --photo nowhere.jpg
echo text >letter.jpg
ask hanklab log "fourth" --photo letter.jpg
ask hanklab list baths
echo "- with the photo it is one act: undo takes all of it back"
cp "$HERE/fixtures/pax-alum.jpg" pax.jpg
ask hanklab log "fifth" --photo pax.jpg
ask hanklab undo
ask hanklab list baths
ask hanklab photo list
