# A camera's curve, learnt from a photo with grey steps, for a later photo of
# the same camera with a card alone. What its skeins really are: 79.59,-2.92,58.12, 40.18,11.96,19.93
# and 46.95,43.70,27.28 (fixtures/known/truth.csv).
hanklab init --dyer Mine
cp "$HERE/fixtures/known/steps.jpg" steps.jpg
cp "$HERE/fixtures/known/one-card.jpg" later.jpg
cp "$HERE/fixtures/madder-alum.jpg" other.jpg
hanklab log weld --dyestuff "weld: 100 %" --skein number=12 \
    --skein number=13 >/dev/null
hanklab card add grey --lab 49.6,-0.3,0.5 --usual yes >/dev/null
card="--card-box 50,50,200,230"
steps="--neutral 50,330,80,100=96.2,-0.4,1.2 --neutral 170,330,80,100=80.8,-0.6,0.1
    --neutral 50,470,80,100=66.4,-0.7,-0.3 --neutral 170,470,80,100=36,-0.3,-0.5
    --neutral 50,610,80,100=20.6,0.1,-0.4"
later="--card-box 46,66,158,178"
one=12=305,156,114,328 two=501,156,114,328
skeins="--region 305,156,114,328 --region $two --region 705,156,114,328"
m() {
    echo "- measure $*"
    hanklab measure "$@"
    echo "exit $?"
}
# shellcheck disable=SC2086
{
    m later.jpg $later $skeins --csv
    m steps.jpg $card $steps --keep-camera
    hanklab camera list
    hanklab camera show 1
    hanklab photo list --csv
    echo "- used"
    m later.jpg $later $skeins
    m later.jpg $later $skeins --no-camera --csv
    m later.jpg --card-lab 49.6,-0.3,0.5 $later $skeins --csv
    echo "- the camera of another photo is another"
    m other.jpg --card-box 110,375,230,280 --region 497,361,158,551
    echo "- a photo with neutrals of its own needs none, and may contradict it"
    m steps.jpg $card $steps --region 407,228,151,442 --csv
    m steps.jpg $card --neutral 50,330,80,100=80.2,-0.4,1.2 --region 407,228,151,442
    echo "- kept with the reading, and told apart from one by the card alone"
    m later.jpg $later --skein $one
    m later.jpg $later --skein 13=$two --json
    hanklab compare 12 13
    m later.jpg $later --skein 13=$two --no-camera
    hanklab compare 12 13
    hanklab reading list --json | tr ',' '\n' | grep corrected
    echo "- withdrawn, brought back, undone"
    hanklab camera withdraw 1
    hanklab camera list
    m later.jpg $later $skeins --csv
    hanklab camera back 1
    hanklab camera edit 1 --note "vivid off"
    m later.jpg $later $skeins --json
    hanklab undo 4
    echo "- the newest counts"
    m steps.jpg $card $steps --keep-camera --json
    m later.jpg $later $skeins
    hanklab undo
    m later.jpg $later $skeins --json | tr , '\n' | grep corrected_by
    echo "- refused"
    hanklab camera add
    hanklab camera edit 1 --model other
    m later.jpg $later --keep-camera
    m later.jpg $later $skeins --keep-camera
    m steps.jpg $card --neutral 60,60,60,60=49.6,-0.3,0.5 --keep-camera
    hanklab camera list --csv | wc -l
}
