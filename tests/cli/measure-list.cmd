# A list of photos, each measured for itself and on every core; one that cannot
# be read stops no other. The numbers are those of each photo measured alone.
hanklab init --dyer Mine
cp "$HERE/fixtures/madder-alum.jpg" a.jpg
cp "$HERE/fixtures/weld-alum.jpg" b.jpg
head -c 20000 a.jpg >cut.jpg
hanklab log madder --date 2025-04-25 --dyestuff "madder: 60 %" \
    --skein number=1 --skein number=2 >/dev/null
m() {
    hanklab measure "$@"
    echo "exit $?"
}
list() {
    { echo "photo,what,x,y,w,h"; cat; } >list.csv
    m --list list.csv "$@"
}
lab="--card-lab 49.6,-0.3,0.5"
echo "- alone, and in a list on one core and on three"
# shellcheck disable=SC2086
hanklab measure a.jpg $lab --card-box 96,368,256,336 --region 496,368,160,200 \
    --tap 850,640 --csv
cat >all.csv <<EOT
photo,what,x,y,w,h
a.jpg,card,96,368,256,336
a.jpg,region,496,368,160,200
a.jpg,region,850,640,,
nowhere.jpg,card,1,1,9,9
nowhere.jpg,region,1,1,9,9
cut.jpg,card,96,368,256,336
cut.jpg,region,496,700,160,200
"b.jpg",card,96,368,256,336
b.jpg,region,496,368,160,200
EOT
# shellcheck disable=SC2086
for n in 1 3; do
    m --list all.csv $lab --cores $n --csv
done
# shellcheck disable=SC2086
m --list all.csv $lab --json >both.json
grep -o '"file":' both.json | wc -l
echo "- kept, in the order of the list; separated by semicolons"
sed 's/a.jpg,region,4/a.jpg,skein 1,4/; s/a.jpg,region,8/a.jpg,skein 2,8/; s/,/;/g' \
    all.csv >kept.csv
# shellcheck disable=SC2086
m --list kept.csv $lab
hanklab list reading
echo "- written wrongly: one line, and nothing is measured"
m --list nowhere.csv
m a.jpg --list all.csv
m --list all.csv --set all.csv
m --list all.csv --card-box 1,2,3,4
m --list all.csv --cores 0
m a.jpg --cores 2
: >empty.csv
m --list empty.csv
echo "photo,x,y" >short.csv
m --list short.csv
list </dev/null
echo "a.jpg,hank,1,1,9,9" | list
echo ",card,1,1,9,9" | list
echo "a.jpg,card,one,1,9,9" | list
echo "a.jpg,skein 9,1,1,9,9" | list
