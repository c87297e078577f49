# A supply is looked for where it could have got into: in its bath from the
# round it went in before, and in a bath its own was poured into, from the round
# before which that was done.
hanklab init --dyer Mine >/dev/null
hanklab log "first kettle" --dyestuff "madder: 30 g" --skein "number=1; weight=20 g" >/dev/null
hanklab supply add madder --name "autumn roots"
hanklab log "second kettle" --dyestuff "weld: 30 g" --skein "number=2; weight=20 g" >/dev/null
hanklab log --of "second kettle" --round "exhaust 1" --skein "number=3; weight=20 g" >/dev/null
hanklab log --of "first kettle" --round "exhaust 1" --skein "number=4; weight=20 g" >/dev/null
hanklab dose add madder --bath 1 --before-round "exhaust 1" --supply "autumn roots" --amount "10 g" >/dev/null
hanklab list --supply "autumn roots"
hanklab pour add 2 --parent 1 --before-round "exhaust 1" >/dev/null
hanklab list --supply "autumn roots"
# Another dyer's bath is told apart.
hanklab dyer add Aino >/dev/null
hanklab bath add "hers, twice" --dyer Aino >/dev/null
hanklab list baths
