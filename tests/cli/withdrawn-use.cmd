# What was withdrawn is found by what was dyed with it, is not worked with, and
# brings no pot back that was undone.
hanklab init --dyer Me
h() {
    echo "- $*"
    hanklab "$@" 2>&1 || echo "exit $?"
}
h log "Lac pot" --dyestuff "lac: 20 %" --skein "weight=10 g" --date 2025-11-03
h undo
h material back lac
h list baths
h log "Lac again" --dyestuff "lac: 20 %" --skein "weight=10 g" --skein "weight=10 g" --date 2025-11-04
h material withdraw lac
h find --dyestuff lac
h supply add lac
h material back lac
h supply add lac
h dose edit 2 --supply 1
h find --supply 1
h find --supply "lac #1"
h find --supply "madder #1"
h find --supply 7
h supply withdraw 1
h log "Third" --dyestuff "lac: 20 %; supply=1" --skein "weight=10 g"
h find --supply 1
h skein withdraw 3
h ply 2 3
h cut 3 "4 g; code=x"
h print cards 2-3 --html cards.html
h export given.zip 3
h test add 3 --kind light
h reading add 3 --lab 50,1,1 --source instrument --illuminant D50 --observer 2
h check
