# Liquors are stored, measured again, poured together, and one is poured into a
# bath between its rounds: only what was dyed after that has anything of it.
. "$HERE/tests/cli/life.sh"
keep log "madder, first pot" --dyestuff "madder: 60 %" --volume "4 l" --ph 7 \
    --skein "number=80; weight=25 g" --date 2026-05-01
keep log "madder, second pot" --dyestuff "madder: 40 %" \
    --skein "number=81; weight=25 g" --date 2026-05-02
hanklab bath edit 1 --storage "two jars in the cellar"
hanklab ph add "5-6 strip" --bath 1 --moment stored --on 2026-05-20
hanklab bath edit 1 --volume "3 l"
keep log "the last of the madder" --poured "1: 2 l" --poured 2 \
    --dyestuff "weld: 20 g" --skein "number=82; weight=25 g" --date 2026-06-01
keep log "tansy in flower" --dyestuff "tansy: 200 %" --date 2026-06-02 \
    --skein "number=83; weight=25 g"
keep log --of "tansy in flower" --poured "3: 1 l" --volume "5 l" \
    --skein "number=84; weight=25 g" --date 2026-06-03
show 82
show 83
show 84
show bath 1
show bath "tansy in flower"
echo "- what cannot be"
keep log --of 1 --poured "tansy in flower"
keep log --of 1 --poured 1
keep log --of 1 --poured "no such jar"
hanklab history bath 1
