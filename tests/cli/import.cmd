# A friend's results: looked at, taken in, taken in again, taken back.
hanklab init --dyer Minna
hanklab init aino --dyer Aino
hanklab log madder --book aino --date 2026-05-03 --dyestuff "madder: 50 g" \
    --skein "number=7; weight=1 3/4 oz; mordant=alum: 12 %; colour=fox" \
    --skein "number=8; weight=50 g; mordant=none" >/dev/null
hanklab material add madder --latin "Rubia tinctorum" >/dev/null
hanklab export two.zip 7 --book aino
no() {
    hanklab "$@"
    echo "exit $?"
}
# The day is today's.
day() { sed 's/2[0-9]*-[0-9]*-[0-9]*:/DAY:/'; }
hanklab import two.zip | day
hanklab list
hanklab import two.zip --yes | day
hanklab import two.zip --yes | day
hanklab show Aino/7
echo "- changed there, and changed here and there"
hanklab skein edit 7 --book aino --colour russet >/dev/null
hanklab skein edit 8 --book aino --colour straw >/dev/null
hanklab skein edit Aino/8 --colour cream >/dev/null
hanklab export later.zip --book aino
hanklab import later.zip | day
hanklab import later.zip --json --yes | sed 's/"made_on":"[^"]*"/"made_on":"DAY"/'
echo "- and taken back"
hanklab undo
hanklab import two.zip --yes | day
echo "- wrong"
no import
no import nothing.zip
no import two.zip three.zip
no export
no export two.zip
no export three.zip 99
no export three.zip 7 --dyestuff madder
