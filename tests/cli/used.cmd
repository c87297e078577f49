# What still names a record is told when it is put away, and what another
# weight moves when it is said; the history of a skein and a pot has all of it.
hanklab init --dyer Mine
ask() {
    echo "- $*"
    "$@"
}
quietly() { "$@" >said 2>&1 || cat said; }
quietly hanklab log "Weld" --dyestuff "weld: 20 g" --mordant "alum: 120 %" \
    --fibre "Finn wool" --water rain --ph 7 --skein "weight=20 g" --skein "30 g"
quietly hanklab supply add --material weld --amount "300 g"
quietly hanklab log "W2" --dyestuff "weld: 10 g; supply=1" --poured 1
ask hanklab dose edit 1 --amount "12 %"
ask hanklab skein edit 1 --weight "25 g"
ask hanklab skein edit 1 2 --weight "25 g"
ask hanklab treatment edit 1 --minutes 45
ask hanklab history skein 1
ask hanklab history bath 1
for which in "material alum" "material weld" "supply 1" "fibre Finn_wool" \
    "water rain" "treatment 2" "dyer Mine"; do
    ask hanklab "${which%% *}" withdraw "$(echo "${which#* }" | tr _ ' ')"
done
ask hanklab treatment back 2
ask hanklab bath withdraw 1
ask hanklab bath withdraw 2
ask hanklab skein withdraw 1
echo "# of what is withdrawn"
ask hanklab skein edit 1 --note x
ask hanklab show 1
echo "# one too many"
ask hanklab skein edit 1 7 --note x
ask hanklab skein withdraw 1 2
ask hanklab material add onion skins
