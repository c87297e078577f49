# Real life 5: dyed twice, dip-dyed, half-immersed: two colours on one skein.
hanklab init --dyer Mine
hanklab log weld --date 2026-05-03 --dyestuff "weld: 1:1" --mordant "alum: 12 %" \
    --skein "number=7; weight=50 g" --skein "number=8; weight=50 g" 2>&1
hanklab log madder --date 2026-05-10 --dyestuff "madder: 50 %" --skein 7 \
    --skein "8; dipped=lower half; colour=yellow, fox below" 2>&1
hanklab skein edit 8 --note "dip-dyed: two colours"
hanklab show 7
hanklab show 8
hanklab find --ever --dyestuff weld
hanklab find --dyestuff weld
