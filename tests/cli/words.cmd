# The three answers at their limits: "match within X" from where the tolerance X
# passes U, "different" from where the difference passes T, and a direction only
# with "different". Greys, read with an uncertainty of 0.3 each.
hanklab init --dyer Mine
hanklab log grey --dyestuff "walnut: 10 %" --skein number=1 --skein number=2 \
    --skein number=3 --skein number=4 >/dev/null
lab() {
    hanklab reading add "$1" --lab "$2" --u 0.3,0.3,0.3 --on 2026-09-18 \
        --illuminant D50 --observer 2 --geometry d/8 --source instrument \
        >/dev/null || echo "exit $?"
}
lab 1 50,0,0
lab 2 50.8,0,0
lab 3 51.44,0,0
lab 4 51.45,0,0
ask() {
    echo "- $*"
    hanklab compare "$@" || echo "exit $?"
}
answers() {
    hanklab compare "$@" --json | tr '{' '\n' |
        grep -o '"de00":.*"answer":"[^"]*"'
}
echo "- X just under U and just over it"
answers 1 2 --tolerance 1.23
answers 1 2 --tolerance 1.24
echo "- D just under T and just over it, X far from U"
answers 1 3 --tolerance 0.5
answers 1 4 --tolerance 0.5
answers 4 1 --tolerance 0.5
echo "- the same for a dyer"
ask 1 2 --tolerance 1.23
ask 1 2 --tolerance 1.24
ask 1 3 --tolerance 0.5
ask 1 4 --tolerance 0.5
echo "- of photos: two places of one skein"
cp "$HERE/fixtures/madder-alum.jpg" photo.jpg
hanklab log red --dyestuff "madder: 60 %" --skein number=5 --skein number=6 \
    --skein number=7 >/dev/null
hanklab measure photo.jpg --card-box 96,368,256,336 --card-lab 49.6,-0.3,0.5 \
    --skein 5=496,368,160,200 --skein 6=496,540,160,200 \
    --skein 7=773,367,165,564
answers 5 6 --tolerance 1.37
answers 5 6 --tolerance 1.38
answers 5 7
ask 5 6 7
