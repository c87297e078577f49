# Real life 11: the fifth round, a mix of three old jars, a round skipped, a
# bath topped up midway.
hanklab init --dyer Mine
hanklab log madder --dyestuff "madder: 100 %" --skein "number=1; weight=25 g" 2>&1
hanklab log --of madder --round "exhaust 3" --skein "number=3; weight=25 g" 2>&1
hanklab log --of madder --skein "number=4; weight=25 g" 2>&1
hanklab log --of madder --dyestuff "madder: 10 g; note=topped up" \
    --skein "number=5; weight=25 g" 2>&1
hanklab log weld --dyestuff "weld: 1:1" --skein "number=11; weight=25 g" 2>&1
hanklab log tansy --dyestuff "tansy: 50 g" --skein "number=12; weight=25 g" 2>&1
hanklab log "three old jars" --poured "madder: 1 l" --poured "weld: 1 l" \
    --poured tansy --round "exhaust 2" --skein "number=20; weight=25 g" 2>&1
hanklab show bath madder
hanklab show bath "three old jars"
hanklab fade madder
hanklab find --round "exhaust 5"
hanklab find --round "exhaust 4"
