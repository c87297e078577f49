# Yarn the book knows, lists and charts as references. What the skeins are:
# 77.75,-2.90,67.04 and 34.54,11.75,18.65 (fixtures/known/truth.csv).
hanklab init --dyer Mine
cp "$HERE/fixtures/known/steps.jpg" photo.jpg
m() {
    echo "- $*"
    hanklab measure photo.jpg --card-box 50,50,200,230 \
        --card-lab 49.6,-0.3,0.5 --region 407,228,151,442 \
        --region 681,228,151,442 "$@"
    echo "exit $?"
}
white=959,225,145,449
hanklab fibre add "white wool"
hanklab fibre add "unmeasured wool"
hanklab log mordant --skein "number=5; fibre=white wool" >/dev/null
hanklab log weld --dyestuff "weld: 100 %" --skein "number=6" >/dev/null
m --known-fibre "white wool=$white"
hanklab reading add --fibre "white wool" --lab 80,2,11 --source instrument \
    --illuminant D65 --observer 10 --geometry d/8 >/dev/null
m --known-fibre "white wool=$white"
hanklab reading add --fibre "white wool" --lab 85,1.5,12 --u 4,0.4,0.4 \
    --source instrument --illuminant D50 --observer 2 --geometry d/8 >/dev/null
m --known-fibre "white wool=$white"
hanklab reading add --fibre "white wool" --lab 85,1.5,12 --u 0.6,0.4,0.4 \
    --source instrument --illuminant D50 --observer 2 --geometry d/8 >/dev/null
m --known-fibre "white wool=$white"
hanklab reading add 5 --lab 85,1.5,12 --u 0.6,0.4,0.4 --source instrument \
    --illuminant D50 --observer 2 --geometry d/8 >/dev/null
m --known-skein "5=$white" --csv
hanklab reading add 6 --lab 77.7,-2.9,67 --u 0.6,0.4,0.4 --source instrument \
    --illuminant D50 --observer 2 --geometry d/8 >/dev/null
m --known-skein "6=$white"
m --known-skein "7=$white"
m --known-fibre "$white"

echo "- a list"
cat >list.csv <<'S'
id,x,y,w,h,L,a,b
white,50,330,80,100,96.2,-0.4,1.2
light,170,330,80,100,80.8,-0.6,0.1
middle,50,470,80,100,66.4,-0.7,-0.3
dark,170,470,80,100,36,-0.3,-0.5
black,50,610,80,100,20.6,0.1,-0.4
S
m --reference list.csv
sed 's/330,80/9330,80/' list.csv >far.csv
m --reference far.csv
cut -d, -f1,6-8 list.csv >values.csv
m --reference values.csv
m --reference none.csv
echo "- a chart: three rows of two, the last not printed"
sed 's/white/A1/; s/light/A2/; s/middle/B1/; s/dark/B2/; s/black/C1/' \
    values.csv >chart.csv
m --chart chart.csv --chart-corners 40,320 260,320 260,720 40,720
m --chart chart.csv --chart-corners "40,320 260,320 260,720 40,720" --csv
m --chart chart.csv --chart-corners 260,720 40,720 40,320 260,320
m --chart chart.csv --chart-corners 40,320 260,720 260,320 40,720
m --chart chart.csv --chart-corners "40,320 260,320 260,720"
m --chart chart.csv
m --chart-corners 40,320 260,320 260,720 40,720
{
    echo "id,L,a,b,observer"
    sed '1d; s/$/,10/' chart.csv
} >ten.csv
m --chart ten.csv --chart-corners 40,320 260,320 260,720 40,720
m --reference photo.jpg
