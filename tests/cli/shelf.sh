# shellcheck shell=sh
# Yarn for a shared blanket, for the tests that ask the book; to be sourced.
# Madder, weld and tansy on alum and iron, some dipped in iron, from the first
# bath to the third exhaust; most of it measured, each in its own way.
quietly() { "$@" >said 2>&1 || { cat said; echo "exit $?: $*"; }; }
lab() { # SKEIN L,a,b [OPTION...]
    skein=$1 colour=$2
    shift 2
    case " $* " in
    *' --illuminant '*) ;;
    *) set -- "$@" --illuminant D50 --observer 2 ;;
    esac
    quietly hanklab reading add "$skein" --lab "$colour" --u 0.6,0.5,0.6 \
        --geometry 45/0 --on 2026-09-17 "$@"
}

quietly hanklab init --dyer Mine
quietly hanklab log "madder kettle" --date 2026-09-12 \
    --dyestuff "madder: 60 %" --ph 7-8 --fibre "two-ply wool" \
    --skein "number=31; weight=25 g; mordant=alum: 12 %" \
    --skein "number=32; weight=25 g; mordant=alum: 12 %" \
    --skein "number=33; weight=25 g; mordant=iron: 2 %" \
    --skein "number=34; weight=25 g; mordant=none"
quietly hanklab log --of "madder kettle" --date 2026-09-13 \
    --fibre "two-ply wool" \
    --skein "number=35; weight=25 g; mordant=alum: 12 %; colour=fox" \
    --skein "number=37; weight=25 g; mordant=iron: 2 %"
quietly hanklab log --of "madder kettle" --round "exhaust 3" \
    --date 2026-09-15 --fibre "two-ply wool" \
    --skein "number=39; weight=25 g; mordant=alum: 12 %" \
    --skein "number=40; weight=25 g; mordant=alum: 12 %; dip=iron: 2 %"
quietly hanklab log "weld kettle" --date 2026-09-14 --dyestuff "weld: 100 %" \
    --ph 8-9 --fibre "two-ply wool" \
    --skein "number=47; weight=25 g; mordant=alum: 12 %" \
    --skein "number=48; weight=25 g; mordant=alum: 12 %; dip=iron: 2 %" \
    --skein "number=49; weight=25 g; mordant=iron: 2 %"
quietly hanklab log --of "weld kettle" --date 2026-09-15 \
    --fibre "thin singles" \
    --skein "number=51; weight=25 g; mordant=alum: 12 %" \
    --skein "number=52; weight=25 g; mordant=alum: 12 %; dip=iron: 2 %" \
    --skein "number=53; weight=25 g; mordant=iron: 2 %"
quietly hanklab log "tansy" --date "summer 2025" --dyestuff "tansy: a bucket" \
    --fibre "two-ply wool" \
    --skein "number=80; mordant=alum: 12 %; dip=iron: 2 %" \
    --skein "number=81; mordant=iron: 2 %; colour=olive for the border" \
    --skein "number=82; mordant=iron: 2 %; colour=not quite olive"
lab 31 42,45,28
lab 32 43,44.5,28.4
lab 33 31,12,9.8
lab 34 52,24,24 --wet yes
lab 35 51.3,43.6,27.4
lab 37 38.5,13,11.2
lab 39 60,37.3,25.1
lab 47 76,-3,62
lab 48 47,-3.5,33
lab 49 40,-2,17
lab 51 80,-4,48
lab 52 52.9,-5,35.3
lab 53 47,-2,19 --illuminant D65 --observer 10
lab 80 48,-3,31
lab 81 38,-1,15.5
