# Before the pot is lit: how it was understood stands below each amount, and
# no book is needed.
echo "- a pot"
hanklab reckon --weight "85 g" --mordant "alum: 12 %" \
    --assist "cream of tartar: 6 %" --dyestuff "madder: 2:1" --water "30:1"
echo "- skeins in ounces"
hanklab reckon --weight "5 skeins of 1 3/4 oz" --weight "½ oz" \
    --mordant "alum 12 %" --dyestuff "tansy: 8 oz fresh" --water "20 l per kg"
echo "- backwards"
hanklab reckon --weight "75 g" --mordant "alum: 9 g" \
    --dyestuff "walnut hulls: 150 g dried" --water "2 l"
echo "- questions"
hanklab reckon --weight "10 g" --mordant "alum: 120 %" --assist "tartar: 1 %" \
    --dip iron --dyestuff "moss: half a bucket" --dyestuff weld
echo "- recorded, never reckoned"
hanklab reckon --weight "100 g" --mordant "chrome: 3 %" \
    --mordant "stannous chloride: 4 g" --mordant tin --mordant none
echo "- small amounts"
hanklab reckon --weight "22 g" --dip "iron: 2 %" --mordant "alum: 12 %" \
    --dyestuff "cochineal: 5 %" --dyestuff "madder: 1 tsp"
hanklab reckon --weight "22 g" --dip "iron: 2 %" --scale "0.01 g"
echo "- more or less"
hanklab reckon --weight "about 100 g" --mordant "alum: 12-15 %" \
    --assist "cream of tartar: 1 level tsp" --alkali "soda ash: 2 %" \
    --acid "vinegar: 20 ml" --dyestuff "moss: 50 g wet"
echo "- other units"
hanklab reckon "1 3/4 oz" "180 F" "80-90 C" "437 yd" "3 gallons" "a pinch" \
    "4 oz per lb" "1:2 (yarn:dye)"
echo "- JSON"
hanklab reckon --json --weight "2 1/4 oz" --mordant "alum: 12 %" \
    --mordant "chrome: 3 %" --water 30:1 --pot "6 l" --stock "1 l of 10 %" \
    "1 oz" 2>/dev/null
no() {
    hanklab reckon "$@"
    echo "exit $?"
}
echo "- what will not do"
no
no --mordant "alum: 12 %"
no --water "30:1"
no --pot "6 l"
no --weight "100 g" --exhaust "50 g"
no --weight "102 g wet" --mordant "alum: 12 %"
no --weight "unknown" --mordant "alum: 12 %"
no --weight "0 g"
no --weight "-85 g"
no --weight "20 ml"
no --weight "1,000 g"
no --weight "85 g" --mordant "12 %"
no --weight "85 g" --mordant "alum: -12 %"
no --weight "85 g" --mordant "alum: 5 m"
no --weight "85 g" --mordant "alum: 12 %; on=90 g"
no --weight "85 g" --mordant "alum: 12 %; minute=3"
no --weight "85 g" --mordant "alum: 12 %; stock=much"
no --weight "85 g" --water "30"
no --weight "85 g" --water "3 g per l"
no --weight "85 g" --pot "6 kg" --water "30:1"
no --stock "250 ml of 12 % from 10 %"
no --stock "1 l"
no "half a bucket"
no "180"
[ -e book ] || echo "no book was made"
echo "- two options said as one"
hanklab reckon "12% of 85 g"
hanklab reckon "alum 12 % on 85g"
hanklab reckon "a lot of it"
echo "- fresh and dry: the state said apart, and the factor of what is dry"
hanklab reckon --weight "85 g" --dyestuff "gyps: 850 g; state=fresh; fresh-per-dry=10"
hanklab reckon --weight "85 g" --dyestuff "gyps: 2:1; fresh-per-dry=10"
no reckon --weight "85 g" --dyestuff "gyps: 2:1; state=raw"
