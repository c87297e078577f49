# Real life 9: species unknown, two mixed, a Latin name since changed, a
# nickname in another language, a made-up one. A corrected name is corrected
# once and still found by the old one.
hanklab init --dyer Mine
hanklab log one --dyestuff "unknown yellow: 50 g" --skein "number=1" 2>&1
hanklab log two --dyestuff "unknown: 50 g" --skein "number=2"
echo "exit $?"
hanklab log two --dyestuff "webcaps, two kinds mixed: 50 g dried" --skein "number=2" 2>&1
hanklab log three --dyestuff "karhunkaapa: 30 g" --skein "number=3" 2>&1
hanklab log four --dyestuff "Zorblax root: a fistful" --skein "number=4" 2>&1
hanklab material edit karhunkaapa --latin "Phaeolus schweinitzii"
hanklab material edit karhunkaapa --name "dyer's polypore"
hanklab show material "dyer's polypore"
hanklab show material karhunkaapa
for n in 1 2 3 4; do
    hanklab show $n | sed -n 2p
done
hanklab log five --dyestuff "karhunkaapa: 10 g" --skein "number=5" 2>&1
hanklab find --dyestuff karhunkaapa
hanklab reckon --weight "50 g" --dyestuff "Zorblax root: 2:1" \
    --dyestuff "karhunkääpä: 1:1" 2>&1
