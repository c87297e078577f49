# Dips and washes come days after the dye; one skein is dyed twice, one was only
# half in the dye, one has its ends dipped; each shows its layers in order.
. "$HERE/tests/cli/life.sh"
keep log "madder from the allotment" --dyestuff "madder: 60 %" --date 2026-05-03 \
    --mordant "alum: 12 %" --temperature 65 --minutes 60 --ph 7 \
    --skein "number=31; code=M1; weight=25 g" \
    --skein "number=32; weight=25 g; dipped=the lower half" \
    --skein "number=33; weight=25 g"
hanklab reading add 32 --lab 46,40,24 --illuminant D50 --observer 2 --geometry d/8 --note "the dyed half" >said
hanklab reading add 33 --lab 45,42,26 --illuminant D50 --observer 2 --geometry d/8 --on 2026-05-05 >said
keep treat dip 33 "32; dipped=the ends" --with "iron: 2 %" --minutes 5 \
    --date "3 June 2026" --vessel "jar in a water bath"
hanklab reading add 33 --lab 34,18,12 --illuminant D50 --observer 2 --geometry d/8 --on 2026-06-05 >said
keep treat wash M1 32 33 --with "wool soap" --temperature hand-warm \
    --date "June 2026"
keep log "weld by the fence" --dyestuff "weld: 100 %" --date 2026-06-20 --skein 33
keep treat dip 33 --with "vinegar: 20 ml" --ph 4-5 --date 2026-06-21
show m1
show 32
show 33
