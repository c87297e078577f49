# Uneven light, followed by the same card in several places or by a plain sheet
# under all. What the skein really is stands in truth.csv of what is drawn.
cat >uneven.scene <<'S'
size 900 600
seed 5
table slate
card 20 60 150 190 0
card_lab 49.6 -0.3 0.5
grey 740 60 140 190 49.6 -0.3 0.5
grey 20 400 150 190 49.6 -0.3 0.5
grey 740 400 140 190 49.6 -0.3 0.5
grey 180 4 540 46 88 0.5 4
skein 1 560 330 150 480 0 3 11
lamp 1 1 1
slope 30 -12 2
exposure 0.8
quality 92
S
scene "$HERE/fixtures/lots.csv" . uneven.scene
cut -d, -f1-9 truth.csv
first=30,70,130,170 right=755,75,110,160
left=35,415,120,160 low=755,415,110,160
m() {
    echo "- $*"
    hanklab measure uneven.jpg --card-lab 49.6,-0.3,0.5 \
        --region 509,194,103,272 "$@"
    echo "exit $?"
}
m --card-box $first
m --card-box $first --card-box $right
m --card-box $first --card-box $right --card-box $left
m --card-box $first --card-box $right --card-box $left --card-box $low --json
m --card-box $first --sheet-box 190,10,520,34
m --card-box $first --card-box 900,0,10,10
m --card-box $first --sheet-box 1,2,3
m --sheet-box 190,10,520,34
