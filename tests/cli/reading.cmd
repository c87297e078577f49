# One colour of a skein: by an instrument, whose light, observer and geometry
# must be said, by eye, wet, of a covered part; all are kept, none is mixed up
# with another light's.
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
hanklab init --dyer Mine
hanklab log "madder kettle" --dyestuff "madder: 60 %" --date 2026-05-03 --skeins 2
ask hanklab reading add 1 --lab 42,45,28
ask hanklab reading add 1 --lab 42,45,28 --illuminant D65 --observer 10
ask hanklab reading add 1 --lab 42,45,28 --illuminant D65 --geometry d/8
ask hanklab reading add 1 --lab 42,45,28 --illuminant D65 --observer 4 --geometry d/8
ask hanklab reading add 1 --lab 42,45,28 --illuminant D55 --observer 2 --geometry d/8
ask hanklab reading add 1 --lab 42,45,28 --source photo --illuminant D65 --observer 10
ask hanklab reading add 1 --lab "42 45 28" --illuminant D65/10
ask hanklab reading add 1 --lab "42 45 28" --illuminant "d65 10 deg"
ask hanklab reading add 1 --lab "42 45 28" --illuminant "D65/10" --observer 2 --geometry d/8
ask hanklab reading add 1 --lab "42 45 28" --illuminant "D65/7" --geometry d/8
ask hanklab reading add 1 --lab "42 45 28" --illuminant "D65/"
ask hanklab reading add 1 --lab "42 45" --source eye
ask hanklab reading add --lab 42,45,28 --source eye
ask hanklab list readings
ask hanklab reading add 1 --lab 42,45,28 --u 0.6,0.5,0.6 --illuminant D65 \
    --observer 10 --geometry "d/8, gloss left out" --instrument "guild's" --on 2026-05-10
ask hanklab reading add 1 --lab 42.4,45,28 --u 0.6,0.5,0.6 --illuminant D65 \
    --observer 10 --geometry "d/8, gloss left out" --instrument "guild's" --on 2026-05-17
ask hanklab reading add 2 --lab 42,45,28 --u 0.6,0.5,0.6 --illuminant D50 \
    --observer 2 --geometry unknown
ask hanklab reading add 2 --lab 43,45,28 --source eye --note "held to the chart"
ask hanklab reading add 2 --lab 33,40,20 --source eye --wet yes
ask hanklab reading add 2 --lab 42,45,28 --source eye --part covered
ask hanklab reading add 2 --lab 48,39,27 --source eye --part exposed
echo "- before and after a step"
hanklab treatment add wash --on 2026-06-01
hanklab entry add 2 --treatment '#2'
ask hanklab reading add 2 --lab 44,41,25 --u 0.6,0.5,0.6 --illuminant D50 --observer 2 --geometry 45/0
ask hanklab reading edit '#1' --lab 50,40,30
ask hanklab reading add 1 --lab "42,5 -45 28" --illuminant "D65/10°" --geometry d/8
ask hanklab show reading 8
ask hanklab compare 1 2
ask hanklab show 1
ask hanklab show 2
echo "- on a terminal it asks"
printf '%s\n' D65 10 d/8 | terminal hanklab reading add 1 --lab 42,45,28
printf '%s\n' 10 unknown |
    terminal hanklab reading add 1 --lab 42,45,28 --illuminant D65
printf '%s\n' '' 10 unknown | terminal hanklab reading add 1 --lab 42,45,28
printf '%s\n' D65 | terminal hanklab reading add 1 --lab 42,45,28
terminal hanklab reading add 1 --lab 42,45,28 --source eye </dev/null
ask hanklab list readings --csv
