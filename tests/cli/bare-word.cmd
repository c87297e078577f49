# A word without an option is the first field, or the name where that one was
# said by its option; it is never dropped.
hanklab init --dyer Mine
hanklab material add madder --kind dyestuff
hanklab supply add madder --amount "100 g"
hanklab supply add "allotment 2025" --material madder --amount "100 g"
hanklab supply add "another" --material madder --name "old jar"
echo "exit $?"
hanklab skein add red --name green
echo "exit $?"
hanklab supply list
