# A dyeing that was logged as the wrong round: what went in for it goes with it.
quietly() { "$@" >said 2>&1 || cat said; }
quietly hanklab init --dyer Mine
quietly hanklab log "madder pot" --dyestuff "madder: 60 %" --skein "weight=20 g"
quietly hanklab log --of 1 --round 1 --skein "weight=20 g"
quietly hanklab log --of 1 --round 2 --dyestuff "madder: 10 g" --skein "weight=20 g"
hanklab show bath 1
echo "- it was the third"
hanklab treatment edit 3 --round 3
hanklab show bath 1
echo "- undone, it is as it was"
hanklab undo
hanklab show bath 1 | grep madder
echo "- two are one round"
hanklab treatment edit 3 --round 1
