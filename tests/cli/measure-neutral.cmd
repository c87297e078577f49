# Grey steps beside the card. What the skeins really are: 77.75,-2.90,67.04,
# 34.54,11.75,18.65 and 85.00,1.50,12.00 (fixtures/known/truth.csv).
hanklab init --dyer Mine
cp "$HERE/fixtures/known/steps.jpg" photo.jpg
hanklab log weld --dyestuff "weld: 100 %" --skein number=11 >/dev/null
hanklab card add "white side" --lab 96.2,-0.4,1.2 --u 0.2,0.1,0.1
hanklab card add "no values"
card="--card-box 50,50,200,230 --card-lab 49.6,-0.3,0.5"
skeins="--region 407,228,151,442 --region 681,228,151,442
    --region 959,225,145,449"
white=50,330,80,100 light=170,330,80,100 middle=50,470,80,100
dark=170,470,80,100 black=50,610,80,100
all="--neutral $white=96.2,-0.4,1.2 --neutral $light=80.8,-0.6,0.1
    --neutral $middle=66.4,-0.7,-0.3 --neutral $dark=36,-0.3,-0.5
    --neutral $black=20.6,0.1,-0.4"
m() {
    echo "- $*"
    hanklab measure photo.jpg "$@"
    echo "exit $?"
}
# shellcheck disable=SC2086
{
    m $card $skeins --csv
    m $card $skeins $all
    m $card $skeins --neutral "$white=white side" --neutral $black=20.6,0.1,-0.4
    m $card $skeins --neutral "$white=white side"
    m $card $skeins --neutral $white=96.2
    m $card --region 407,228,151,442 $all --json
    echo "- any middle grey may be the card"
    m $skeins $all --csv
    echo "- kept with the reading"
    m $card $all --skein 11=407,228,151,442
    hanklab reading list --json | grep corrected
    echo "- refused"
    m $card --skein 11=959,225,145,449 --neutral $middle=82,-0.4,1.2
    m $card $skeins --neutral $white=20.6,0.1,-0.4 --neutral $black=96.2,-0.4,1.2
    m $card $skeins --neutral $white
    m $card $skeins --neutral "$white="
    m $card $skeins --neutral "$white=no values"
    m $card $skeins --neutral $white=60,40,0
    m $card $skeins --neutral 50,330,80=96,0,0
    m $card $skeins --neutral 5000,330,80,100=96,0,0
    m --card-box 50,50,200,230 $skeins --neutral $white=96,0,0
    m $skeins --neutral $white=96.2,-0.4,1.2
    m $skeins $all --card-lab 49.6,-0.3,0.5
}
