# Several photos of the same skeins make one reading of each. Here the photos
# are one picture with other bytes behind its end; what differs is the boxes.
hanklab init --dyer Mine
cp "$HERE/fixtures/madder-alum.jpg" a.jpg
for copy in b c d; do
    cat a.jpg - <<EOF >"$copy.jpg"
$copy
EOF
done
hanklab log madder --date 2025-04-25 --dyestuff "madder: 60 %" \
    --skein "number=1; mordant=alum: 12 %" --skein number=2 >/dev/null
m() {
    hanklab measure "$@" --card-lab 49.6,-0.3,0.5
    echo "exit $?"
}
card="--card-box 96,368,256,336"
# shellcheck disable=SC2086
set -- a.jpg $card --skein 1=496,368,160,200 --skein 2=773,367,165,564 \
    --and b.jpg $card --skein 1=496,540,160,200
echo "- two photos, three, the same one twice"
m "$@"
# shellcheck disable=SC2086
m "$@" --and c.jpg --card-tap 200,540 --skein 1=496,700,160,200 \
    --skein 2=773,400,165,500
# shellcheck disable=SC2086
m a.jpg $card --region 496,368,160,200 --and a.jpg $card \
    --region 496,540,160,200
echo "- from a file"
mkdir set
mv b.jpg c.jpg d.jpg set
cat >set/three.json <<'EOF'
{"photos": [
  {"photo": "../a.jpg", "card-box": "96,368,256,336",
   "skein": ["1=496,368,160,200", "2=773,367,165,564"]},
  {"photo": "b.jpg", "card-box": "96,368,256,336", "skein": "1=496,540,160,200"},
  {"photo": "c.jpg", "card-tap": "200,540", "skein": ["1=496,700,160,200"]}
]}
EOF
m --set set/three.json
m --set set/three.json --json | tr -d '\n' |
    sed 's/.*"readings":/"readings":/'
echo
echo "- read back"
hanklab show 1 | grep "L\*"
hanklab show 1 --json | tr -d ' \n' | grep -o '"photos":3,"with"'
hanklab list photos --csv | cut -d, -f1
echo "- of four the one that is off is left out"
cat >set/four.json <<'EOF'
{"photos": [
  {"photo": "../a.jpg", "card-box": "96,368,256,336", "skein": "1=496,368,160,200"},
  {"photo": "b.jpg", "card-box": "96,368,256,336", "skein": "1=496,540,160,200"},
  {"photo": "c.jpg", "card-box": "96,368,256,336", "skein": "1=773,367,165,564"},
  {"photo": "d.jpg", "card-box": "96,368,256,336", "skein": "1=496,700,160,200"}
]}
EOF
m --set set/four.json
echo "- photos that contradict each other, one that cannot be read"
# shellcheck disable=SC2086
m a.jpg $card --skein 2=496,368,160,200 --and set/b.jpg $card \
    --skein 2=1325,367,165,564
# shellcheck disable=SC2086
m a.jpg $card --skein 2=773,367,165,564 --and set/b.jpg $card \
    --skein 2=1590,367,165,564 --region 773,367,165,564
hanklab list readings --csv | wc -l
