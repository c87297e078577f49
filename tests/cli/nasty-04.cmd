# Real life 4: three dyestuffs in one pot, one unweighed, at different times.
hanklab init --dyer Mine
hanklab log "three in one" --skein "weight=100 g" --dyestuff "weld: 60 g" \
    --dyestuff "tansy; added=after; minute=20" \
    --dyestuff "madder: 10 g; added=after; minute=45" 2>&1
hanklab show 1
hanklab show bath 1
hanklab find --dyestuff weld --dyestuff tansy --dyestuff madder --only
hanklab find --per-fibre 1..1000
