# A day said by the day it was said on is shown as the day it was read as,
# whenever it is looked at; the words stay in the book, beside it.
hanklab init --dyer Mine >said
day=$(date -u -d yesterday +%F)
one() { sed "s/$day/THE-DAY/g; s/yesterday/WORDS/g; s/THE-DAY.... $//"; }
hanklab log "madder pot" --dyestuff "madder: 60 %" --mordant alum \
    --date yesterday --skein "number=7; weight=20 g" | grep -i date | one
hanklab treat dip 7 --with "iron: 2 %" --date yesterday >said
hanklab supply add madder --got yesterday >said
hanklab reading add 7 --lab 40,40,20 --on yesterday --source eye >said
hanklab show 7 | one
hanklab show bath 1 | one
hanklab list treatments | one
hanklab list supplies | one
hanklab show treatment 1 | one
echo - a day of a year that was not said
hanklab log --of "madder pot" --dyestuff madder \
    --date "$(date -u -d yesterday '+%-d %B')" --skein "number=8" >said
hanklab show 8 | sed "s/$day/YEAR-MM-DD/g" | grep exhaust
echo - what names the year is shown as it was said
hanklab log --of "madder pot" --date "3.5.21" --skein "number=9" >said
hanklab show 9 | grep "exhaust 2"
echo - a day that is still to come
hanklab log --of "madder pot" --date tomorrow --skein "number=10" |
    sed "s/$(date -u -d tomorrow +%F)/THE-DAY/"
hanklab log --of "madder pot" --date "$(date -u -d '3 days' '+%-d %B')" 2>&1 |
    sed 's/"[^"]*"/WORDS/; s/[0-9][0-9]* [A-Z][a-z]* [0-9]* or [0-9]*/DAY/'
hanklab log --of "madder pot" --date 32/11
hanklab log --of "madder pot" --date 1/11
echo "- poured in"
hanklab log "old jars" --poured "1: 1 l" --date yesterday --skein "number=9; weight=20 g" >said 2>&1
hanklab show bath "old jars" | grep poured | one
hanklab show bath 1 | grep poured | one
