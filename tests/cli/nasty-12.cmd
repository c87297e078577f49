# Real life 12: alum of unknown kind, mordanted twice, a pinch, 120 % typed for
# 12, chrome in a grandmother's recipe.
hanklab init --dyer Mine
hanklab log one --mordant alum --skein "number=1; weight=50 g" 2>&1
hanklab log two --mordant "alum: 10 %" --skein "number=2; weight=50 g" 2>&1
echo "- again, another day, in clean water"
hanklab log "clear water" --date 2026-05-04 \
    --skein "2; mordant=iron: 2 %" 2>&1
echo "- and alum once more, step by step"
hanklab treatment add --kind mordant --on 2026-05-05
hanklab entry add --skein 2 --treatment "#7"
hanklab dose add --treatment "#7" --material alum --role mordant --amount "5 %"
hanklab log three --mordant "alum: a pinch" --skein "number=3; weight=50 g" 2>&1
hanklab log four --mordant "alum: 120 %" --skein "number=4; weight=50 g" 2>&1
hanklab log "grandmother's" --mordant "chrome: 3 %" --dyestuff "madder: 50 %" \
    --skein "number=5; weight=100 g" 2>&1
for n in 1 2 3 4 5; do
    hanklab show $n
done
hanklab find --mordant chrome
echo "- reckoned"
for dose in alum "alum: a pinch" "alum: 120 %" "chrome: 3 %" "chrome: 9 g"; do
    hanklab reckon --weight "50 g" --mordant "$dose" 2>/dev/null
done
