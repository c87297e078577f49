# A hank into pieces. Numbers as in docs/worked.md (S01 to S12).
no() {
    hanklab "$@"
    echo "exit $?"
}
echo "- S04: five colours with a reserve, nothing over"
hanklab split --weight "100 g" --length "400 m" --reserve "10 %" \
    "A = 120 m" "B = 90 m" "C = 60 m" "D = 50 m" "E = 40 m"
echo "- S05: short by 60 m, by 20 m even with no reserve"
hanklab split --weight 100g --length 400m --reserve 10% 150m 120m 90m 60m
echo "- S06: minis on a loop: 27 wraps, 40.5 m, 10.125 g, 76 m left"
hanklab split --weight "100 g" --length "400 m" --loop "1.5 m" "8 x 40 m" --json
echo "- S08: 15 yards on a loop of 60 inches"
hanklab split --length "437 yd" --loop "1.524 m" "15 yd"
echo "- S10: no label, a sample of it"
hanklab split --weight "96 g" --sample "10 m = 2.5 g" "sky: 100 m"
echo "- S11: 10 % more for each, 10 % kept back: short by 36 m"
hanklab split --weight "100 g" --length "400 m" --reserve "10 %" --allowance "10 %" \
    "A = 120 m" "B = 90 m" "C = 60 m" "D = 50 m" "E = 40 m"
echo "- S12: a wrap less each, where one more would be short"
hanklab split --weight "100 g" --length "400 m" --loop "1.5 m" "8 x 1/8"
hanklab split --weight "100 g" --length "400 m" --reserve "10 %" "a third = 1/3" "half" --csv
echo "- by weight, and without a hank's weight"
hanklab split --weight "3 1/2 oz" --length "437 yd" "red = 12 g" "the rest = 1 oz" --csv
hanklab split --length "200 m" --reserve "20 m" "red = 2 x 50 m" --csv
echo "- what cannot be"
no split
no split --weight "100 g" "40 m"
no split --length "400 m" "12 g"
no split --length "400 m" "red"
no split --length "400 m" "red = 12 %"
no split --length "0 m" "12 m"
no split --length "400 m" --reserve lots "12 m"
no split --length "400 m" --sample "10 m" "12 m"
no split --length "400 m" --loop "two feet" "12 m"
no split --length "400 m" "600 x 1 m"
no split --length "400 m" 8
no split --length "400 m" -- "-5 m"
echo "- a name without a sign, and what is no piece"
hanklab split --length "400 m" "border 120 m" "red 2 x 40 m" --csv
no split --length "400 m" "3 scarves 150 m"
