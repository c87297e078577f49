# What was withdrawn, or undone, and is named again is used again.
quietly() { "$@" >said 2>&1 || cat said; }
ask() { echo "- $*"; "$@" 2>&1 | grep -v "^Gloves\|^Ventilate\|^Dye pots\|^Follow\|: Mild" ; }
quietly hanklab init --dyer Mine
quietly hanklab log "Weld" --dyestuff weld --mordant "alum: 12 %" --fibre Finn --skein "weight=20 g; code=A1"
ask hanklab material withdraw alum
ask hanklab fibre withdraw Finn
ask hanklab log "Weld" --dyestuff weld --mordant "alum: 12 %" --fibre Finn --skein "weight=20 g"
ask hanklab find --mordant alum
ask hanklab material list
echo "- logged, undone, logged again; and the first comes back"
hanklab init --book other --dyer Mine >said
HANKLAB_BOOK=other
quietly hanklab log "Tansy" --dyestuff tansy --mordant "alum: 12 %" --skein "weight=20 g"
quietly hanklab undo
ask hanklab log "Tansy" --dyestuff tansy --mordant "alum: 12 %" --skein "weight=20 g"
ask hanklab undo 3
ask hanklab bath back 1
ask hanklab skein back 1
ask hanklab list
ask hanklab show 1
ask hanklab check
