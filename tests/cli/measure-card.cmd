# Which card: named, the usual one, without values, unknown.
hanklab init --dyer Mine
cp "$HERE/fixtures/weld-alum.jpg" photo.jpg
# On the real card the mean of the skein is 77.75,-2.9,67.04 (truth.csv).
m() {
    echo "- ${*:-no card named}"
    hanklab measure photo.jpg --card-box 79,338,281,403 \
        --region 488,381,161,568 "$@"
    echo "exit $?"
}
m
hanklab card add "no values"
m --card "no values"
hanklab card add "the grey one" --lab 49.6,-0.3,0.5 --u 0.2,0.1,0.1 \
    --source measured --usual yes
m
m --card "the grey one" --csv
m --card unknown
hanklab card add stated --lab 52,-0.3,0.5
m --card stated --csv
m --card-lab 52,-0.3,0.5 --csv
echo "- another usual one takes its place"
hanklab card edit stated --usual yes
hanklab card list
m --csv
m --card soup
m --card stated --card-lab 50,0,0
m --card-u 1,1,1
m --card-lab 50
m --card-lab fifty,0,0
m --card-lab 0,0,0
m --card-lab 50,0,400
m --card-lab 50,0,0 --card-u 1
m --card-lab 50,0,0 --card-u -1,1,1
m --card-lab 50,0,0 --card-u 0,0,0 --csv
