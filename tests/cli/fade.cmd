# One bath, round by round.
. "$HERE/tests/cli/shelf.sh"
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
ask hanklab fade "madder kettle"
ask hanklab fade 2
quietly hanklab dose add madder --bath 1 --amount "50 g" --before-round 3
ask hanklab fade 1 --csv
ask hanklab fade 2 --json
ask hanklab fade 9
quietly hanklab bath add "empty pot"
ask hanklab fade "empty pot"
# Counted against the same wool with the mordant alone; alum will do with plain
# wool, iron will not.
undyed() { # MORDANT L,a,b
    quietly hanklab reading add --fibre "two-ply wool" ${1:+--mordant "$1"} \
        --lab "$2" --u 0.6,0.5,0.6 --illuminant D50 --observer 2 \
        --geometry 45/0
}
undyed "" 85,1.5,12
ask hanklab fade 1
undyed iron 68,3,14
quietly hanklab log --of "madder kettle" --round "exhaust 4" --date 2026-09-16 \
    --temperature "60 C" --minutes 20 --fibre "two-ply wool" \
    --skein "number=41; weight=60 g; mordant=alum: 12 %" \
    --skein "number=42; weight=25 g; mordant=iron: 2 %"
lab 41 72,20,20
lab 42 52,10,13
ask hanklab fade 1 --next "40 g"
ask hanklab fade 1 --next "some"
ask hanklab fade 1 --json

# Five rounds of equal wool; the third was not heated as long.
i=0
for colour in 38,30,40 46,31,45 46,31,46 64,24,44 70,18,39; do
    set -- --date "2026-09-2$i" --fibre "two-ply wool" --temperature "80 C" \
        --minutes "$([ $i = 2 ] && echo 20 || echo 60)" \
        --skein "number=9$i; weight=25 g; mordant=alum: 12 %"
    if [ $i = 0 ]; then
        quietly hanklab log "walnut tub" --dyestuff "walnut hulls: 200 %" "$@"
    else
        quietly hanklab log --of "walnut tub" "$@"
    fi
    lab "9$i" $colour
    i=$((i + 1))
done
ask hanklab fade "walnut tub"

# An instrument set to D65 and 10 degree: its readings go by themselves, and
# what has no other is told so.
quietly hanklab log "guild kettle" --dyestuff "madder: 60 %" \
    --date 2026-10-01 --skein "number=101; mordant=alum"
quietly hanklab log --of "guild kettle" --date 2026-10-02 \
    --skein "number=102; mordant=alum"
quietly hanklab log --of "guild kettle" --date 2026-10-03 \
    --skein "number=103; mordant=alum"
lab 101 40,45,28 --illuminant D65/10
lab 102 45,42,27 --illuminant D65/10
ask hanklab fade "guild kettle"
ask hanklab fade "guild kettle" --light D65/10
ask hanklab fade "guild kettle" --light D65
ask hanklab grid --rows round --columns mordant --bath "guild kettle"
ask hanklab grid --rows round --columns mordant --bath "guild kettle" \
    --light "d65, 10"
ask hanklab find red --bath "guild kettle"
ask hanklab find red --bath "guild kettle" --light D65/10
ask hanklab find --like 102 --light D65/10
ask hanklab palette 2 --bath "guild kettle" --light D65/10
ask hanklab compare 101 102 --light D65/10
ask hanklab list --bath "guild kettle" --light D65/10
lab 103 55,35,24 --illuminant A --observer 2
ask hanklab find red --bath "guild kettle"
ask hanklab find --lab 40,45,28 --light D65/10
ask hanklab palette --fit 40,45,28 --fit 101 --light D65/10
