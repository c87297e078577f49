# What is seldom asked in one: a tapped card with neutrals, proposals with
# neutrals, and several photos by a camera that was kept. What the skeins of
# steps.jpg and later.jpg really are: see measure-neutral and measure-camera.
hanklab init --dyer Mine
cp "$HERE/fixtures/known/steps.jpg" steps.jpg
cp "$HERE/fixtures/known/one-card.jpg" later.jpg
{ cat later.jpg && echo again; } >again.jpg
hanklab log weld --dyestuff "weld: 100 %" --skein number=12 \
    --skein number=13 >/dev/null
hanklab card add grey --lab 49.6,-0.3,0.5 --usual yes >/dev/null
steps="--neutral 50,330,80,100=96.2,-0.4,1.2 --neutral 170,330,80,100=80.8,-0.6,0.1
    --neutral 50,470,80,100=66.4,-0.7,-0.3 --neutral 170,470,80,100=36,-0.3,-0.5
    --neutral 50,610,80,100=20.6,0.1,-0.4"
one=305,156,114,328 two=501,156,114,328
m() {
    echo "- measure $*"
    hanklab measure "$@"
    echo "exit $?"
}
# shellcheck disable=SC2086
{
    echo "- the card tapped, beside neutrals and tapped skeins"
    m steps.jpg --card-tap 150,165 $steps --region 407,228,151,442
    m steps.jpg --card-tap 150,165 $steps --tap 482,450 --json
    m steps.jpg --card-tap 482,450 $steps --tap 482,450
    m steps.jpg --card-tap 90,380 $steps --tap 482,450
    cat >known.csv <<'EOF'
id,x,y,w,h,L,a,b
white,50,330,80,100,96.2,-0.4,1.2
light,170,330,80,100,80.8,-0.6,0.1
dark,170,470,80,100,36,-0.3,-0.5
EOF
    m steps.jpg --card-tap 150,165 --reference known.csv --tap 482,450
    echo "- proposals beside neutrals: their places are no skeins"
    m steps.jpg --auto $steps
    m steps.jpg --auto --card-tap 150,165 $steps --csv
    m steps.jpg --auto --reference known.csv
    echo "- several photos by a camera that was kept"
    m steps.jpg --card-tap 150,165 $steps --keep-camera
    hanklab camera list
    m later.jpg --card-box 46,66,158,178 --skein 12=$one \
        --and again.jpg --card-box 46,66,158,178 --skein 12=$one
    m later.jpg --card-box 46,66,158,178 --region $one --no-camera \
        --and again.jpg --card-box 46,66,158,178 --region $one --no-camera
    cat >both.json <<EOF
{"photos": [
  {"photo": "later.jpg", "card-box": "46,66,158,178", "skein": "13=$two"},
  {"photo": "again.jpg", "card-tap": "125,155", "skein": "13=$two"}
]}
EOF
    m --set both.json
    for more in "no-camera\": true" "no-camera\": false" "no-camera\": \"yes\"" \
        "keep-camera\": true"; do
        sed "s/\"}/\", \"$more}/" both.json >more.json
        echo "- $more"
        m --set more.json
    done
    hanklab reading list --json | tr ',' '\n' | grep corrected
}
