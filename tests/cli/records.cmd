# Every kind of record: added, shown, listed, changed, withdrawn, brought back.
hanklab init --dyer Mine
h() {
    hanklab "$@"
    status=$?
    [ $status -eq 0 ] || echo "exit $status"
}
echo "- materials: one correction, and the old name is still found"
h material add madder --part root --form "dried, chopped" --latin "Rubia sp."
h material edit madder --latin "Rubia tinctorum" --form ""
h alias add garance --material madder
h material show garance
h material list
h material add madder
h material add weld
h alias add Garance --material weld
h alias add "dyer's rocket" --material weld
h alias edit "dyer's rocket" --name GARANCE
h material add "velvet-foot pax" --kind soup
h material edit garance --note "dug in the third year" --json
h material withdraw madder
h material withdraw madder
h dose add madder --bath 1
h material show madder
h material list --csv
h material list --withdrawn
h material back madder
h material list
echo "- a supply"
h supply add madder --name "the third year" --source grown --got "autumn 2025" \
    --amount "1 1/2 kg" --state dry --sure sure
h supply edit "the third year" --amount "1,25 kg" --fresh-per-dry 3
h supply show "the third year"
h supply edit "the third year" --fresh-per-dry 0.5
h supply edit "the third year" --amount "-3 kg"
h supply edit "the third year" --got "31.2.2026"
h supply add soup
echo "- dyer, fibre, water"
h dyer add "a friend" --note "gave us the first plants"
h dyer list
h fibre add "grey wool" --content wool --m-per-100g 350
h fibre edit "grey wool" --name "grey two-ply"
h fibre show "grey two-ply" --json | sed 's/"uid":"[0-9a-f]*"/"uid":"..."/'
h fibre show "grey wool"
h water add rain --ph "about 6" --hardness soft
h water edit rain --ph 15
h water show rain
echo "- a skein: its number stays"
h skein add lumpy --fibre "grey two-ply" --weight "3/4 oz" --code A3
h skein add --number 1
h skein add --number 7 --weight "20 g wet"
h skein edit 1 --number 9
h skein add lumpy
h skein edit lumpy --note x
h skein edit a3 --weight "22 g" --colour fox --place "blue box"
h skein edit 1 --colour ""
h skein edit 1
h skein edit 1 --colour fox --colour plum
h skein withdraw 7
h skein withdraw 7
h skein list
h skein list --withdrawn
h skein back 7
h skein back 7
h skein show 7
h skein edit soup --note x
h skein edit
h skein burn 1
h skein
echo "- a pot by hand, and what was put in"
h bath add "madder kettle" --kind dye --water rain --volume "3 l"
h dose add madder --bath "madder kettle" --amount "60 %" --supply "the third year"
h treatment add dye --bath "madder kettle" --round first --on 2026-05-03
h entry add 1 --treatment "#1"
h ph add 7-8 --bath "madder kettle" --on 2026-05-03
h ph list
h dose list
h entry list
h origin add 7 --parent 1 --amount "10 g"
h origin add 1 --parent 7
h skein show 1
h bath show "madder kettle"
echo "- readings: by eye, by instrument, for another light, wet; never overwritten"
h reading add 1 --lab 42,45,28 --source eye --on 2026-05-04
h reading add 1 --lab 41.2,44,27.5 --u 0.6,0.5,0.6 --illuminant D65 --observer 10 \
    --geometry d/8 --instrument "the school's" --on 2026-05-05
h reading add 1 --lab 30,40,20 --wet yes --illuminant D50 --observer 2 --geometry 45/0 --on 2026-05-06
h reading add 1 --lab 41,44,27 --illuminant D50 --observer 2 --geometry 45/0 --on 2026-05-05
h reading add 1
h reading add 1 --lab 41,44
h reading add 1 --lab 41,44,27 --observer 3
h reading add 99 --lab 41,44,27 --source eye
h reading edit 1 --lab 50,0,0
h reading edit "#1" --note "on the north side"
h reading withdraw "#4"
h reading list
h skein show 1
h list --csv
h reading back "#4"
h list --csv
echo "- a picture and how it glows"
h photo add "$HERE/fixtures/undyed.jpg" --skein 1 --skein 7 --shows ultraviolet \
    --glow faint --glow-colour "greenish"
h photo add "$HERE/fixtures/undyed.jpg" --skein 99
h photo add none.jpg
h photo list
h sight list
