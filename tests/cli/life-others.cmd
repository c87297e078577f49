# A jar from another dyer: her bath stands in the book as hers, and what was
# dyed in a pot that has some of it says so.
. "$HERE/tests/cli/life.sh"
hanklab dyer add "Tarn guild"
hanklab bath add "birch jar" --dyer "Tarn guild" --number 7
hanklab dose add "birch leaves" --bath "Tarn guild/7" --amount "300 g fresh"
hanklab material add "birch leaves"
hanklab dose add "birch leaves" --bath "Tarn guild/birch jar" --amount "300 g fresh"
hanklab bath add "weld dregs" --dyer "Tarn guild"
hanklab bath add "my own"
keep log "guild leftovers" --poured "Tarn guild/birch jar: 1 l" \
    --poured "Tarn guild/8" --skein "number=5; weight=20 g"
show 5
show bath "guild leftovers"
show bath "Tarn guild/7"
hanklab list baths
hanklab skein add "hers" --dyer "Tarn guild" --number 12
show "Tarn guild/12"
echo "- what cannot be"
keep bath add "x" --dyer Nobody
keep bath edit "my own" --dyer "Tarn guild"
keep log --of "Tarn guild/7" --skein 5
echo "- pieces of hers are hers"
hanklab cut "Tarn guild/12" half "half; number=20; code=T2"
hanklab list --owner me
hanklab list --owner "Tarn guild"
hanklab skein add --dyer "Tarn guild" --code T2
hanklab show "Tarn guild/T2"
