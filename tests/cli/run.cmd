# Several skeins said in one, wherever skeins are listed; what is called so as
# a whole is that one.
. "$HERE/tests/cli/life.sh"
run() {
    echo "- $*"
    hanklab "$@"
}
keep log first --skeins 9 --weight "20 g" --date 2026-03-01
run treat dip 6-8 --with "iron: 2 %"
run treat dip 6,7 "2 to 3" 9 --with "iron: 2 %"
run treat wash "1, 3-5" --with soap
run treat wash "6-8; dipped=lower half" --with soap
run log --of 1 --skein 6-8 --skein "weight=5 g"
run log --of 1 --skein "3, 4; note=overdyed"
hanklab skein add "6-8" --code "6,7"
run treat wash 6-8
run treat wash 6,7
run treat wash "6-7, 9"
hanklab skein add --code 42
run log weld --skein 42
run ply 1-3
run ply 4 "5: 10 g" 6,9
run show 6
ln -s "$HERE/fixtures" fixtures
run photo add fixtures/madder-alum.jpg --shows ultraviolet --skein "1-3: faint"
run find --glow faint
echo "- what cannot be, and names with such signs"
keep treat dip 9-99
keep ply 1
keep ply "1-3: 20 g"
keep treat dip 8-6
keep treat dip 6-7 7
keep log y --skein 20-22
keep log y --skein "5, 99"
keep log --of 1 --skein "7-9; code=X; number=3"
run log y --skein "red, blue"
run log z --skein "name=20-22"
echo "-h: help"
hanklab log -h | head -3
hanklab -h | head -1
hanklab log -x; echo "$?"
hanklab skein add -x; echo "$?"
hanklab log -- -x
