# A skein dipped in part has two colours. Both are kept and shown behind the dip,
# and neither is taken for the whole skein's.
. "$HERE/tests/cli/life.sh"
run() {
    echo "- $*"
    hanklab "$@"
}
ln -s "$HERE/fixtures" fixtures
keep log "madder" --dyestuff "madder: 60 %" --skeins 3 --weight "20 g" --date 2025-06-01
hanklab card add grey --lab 49.6,-0.3,0.5 --source measured --usual yes
L="--illuminant D50 --observer 2 --geometry d/8"
hanklab reading add 1 --lab 42,45,28 $L --on 2025-06-02
hanklab reading add 2 --lab 43,44,28 $L --on 2025-06-02
keep treat dip "1-2; dipped=lower half" --with "iron: 2 %" --date 2025-06-03
hanklab reading add 1 --lab 25,15,12 $L --part dipped --on 2025-06-05
hanklab reading add 1 --lab 42.2,44.6,27.8 $L --part rest --on 2025-06-05
run show 1
run find "reddish orange"
run find --part dipped
run find --part rest
run list
run compare 1 2 --part rest
run measure fixtures/madder-alum.jpg --card-box 79,338,281,403 --skein 2=490,375,172,200
run measure fixtures/madder-alum.jpg --card-box 79,338,281,403 --skein 2=490,375,172,200 --part rest
run measure fixtures/madder-alum.jpg --card-box 79,338,281,403 --skein 2=490,575,172,200 --part dipped
run show 2
echo "- what cannot be"
keep reading add 1 --lab 25,15,12 --source eye --part lower
keep measure fixtures/madder-alum.jpg --card-box 79,338,281,403 --skein 2=490,375,172,200 --part lower
keep find --part lower
