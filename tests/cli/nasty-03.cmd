# Real life 3: only the fresh weight, frozen and then dried, half a bucket.
hanklab init --dyer Mine
hanklab log "pax" --skein "weight=100 g" \
    --dyestuff "velvet-foot pax: 1000 g fresh; fresh-per-dry=10" \
    --dyestuff "birch leaves: frozen-then-dried" \
    --dyestuff "tansy: half a bucket" --dyestuff "heather: 200 g frozen" 2>&1
hanklab show 1
hanklab show 1 --json | grep -o '"material":"[^"]*"\|"state":[^,]*\|"low_g":[^,]*\|"not_recorded.*'
hanklab reckon --weight "100 g" --dyestuff "velvet-foot pax: 1000 g fresh" \
    --dyestuff "birch leaves: frozen-then-dried" \
    --dyestuff "tansy: half a bucket" --dyestuff "heather: 200 g frozen" 2>&1
