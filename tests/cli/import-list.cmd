# A list from a spreadsheet: looked at, taken in, again, taken back; as sheets
# are really saved; and what is wrong with it.
hanklab init --dyer Aino
no() {
    hanklab "$@"
    echo "exit $?"
}
cat >list.csv <<'END'
Sample;Yarn;Weight (oz);Mordant;Mordant %;Dye;Dye weight (g);Date;pH;Colour;L*;a*;b*;Price;Comments

A1;two-ply;2 1/4;alum;12;madder;50;03/05/2023;7-8;brick;45,2;38,1;25;3,20;"first
try"
A2;two-ply;2 1/4;alum;120;madder;50;13/05/2023;7-8;"brick, dark";44;37,5;24,1;;
A3;two-ply;50 g;none;0;weld;100 g fresh;summer 2019;about 9;yellow;;;;;
;;;;;;;;;;;;;;
A4;two-ply;1¾;iron;2;unknown;;?;;grey;-;;;4;=x
END
no import list.csv
hanklab import list.csv --all source=eye --match "Date=date d/m" --rest
hanklab list
hanklab import list.csv --all source=eye --match "Date=date d/m" --rest --yes >/dev/null 2>&1
hanklab list
hanklab show 1
hanklab show 3
echo "- the same again, in other letters and with tabs; and one row more"
printf '\377\376' >again.csv
iconv -f UTF-8 -t UTF-16LE list.csv >>again.csv
hanklab import again.csv --all source=eye --yes | tail -3
{
    cat list.csv
    echo "A5;;;;;;;;;;;;;;one more"
} >more.csv
hanklab import more.csv --all source=eye --json | sed 's/.*"rows"/"rows"/'
echo "- taken back, and in again"
hanklab undo
hanklab import list.csv --all source=eye --yes 2>/dev/null | tail -4
echo "- Latin-1, its own separator, a yarn that is there"
printf 'sep=|\r\nName|Yarn|Colour\r\nk\344p\344l\344|two-ply|kelta"inen\r\n' >latin.csv
hanklab import latin.csv --yes
hanklab skein show 9
echo "- rows of one pot, and of one day"
cat >pots.csv <<'END'
Name,Pot,Round,Dye,Dye amount,Date,Temp (F),Weight
p1,big kettle,,madder,100 %,2024-05-01,180,20 g
p2,big kettle,,,,,,20 g
p3,big kettle,exhaust 1,madder,,2024-05-02,,20 g
END
hanklab import pots.csv --yes 2>&1 | tail -4
hanklab show 11
hanklab show 12
cat >day.csv <<'END'
Name,Dye,Date,Dye amount (g)
d1,weld,2024-06-01,30
d2,weld,2024-06-01,
d3,weld,2024-06-02,30
END
hanklab import day.csv --together --yes 2>&1 | tail -3
hanklab bath list
echo "- wrong"
printf 'Name,Mordant,Mordant amount,Date,pH,Number\nw1,alum,12,2024-01-01,7,\nw2,alum,12 %%,31.2.2024,7,\nw3,,2 %%,,,\nw4,,,,77,\nw5,,,,,1\n' >wrong.csv
no import wrong.csv
no import wrong.csv --match "Mordant amount=mordant-amount furlong"
no import wrong.csv --match Weight=weight
no import wrong.csv --match "pH=acidity"
no import wrong.csv --match pH
no import wrong.csv --all number=3
no import wrong.csv --own
printf 'Name,Colour\nx,"never closed\ny,z\n' >open.csv
no import open.csv
printf 'Name\nx,y\n' >wide.csv
no import wide.csv
printf 'Foo,Bar\n1,2\n' >strange.csv
no import strange.csv
: >empty.csv
no import empty.csv
printf '\377\330\377\340\000\020JFIF\000\001' >photo.csv
no import photo.csv
printf 'Name,Pot,Dye\na,k,madder\nb,k,weld\n' >mixed.csv
no import mixed.csv
printf 'Name,Dyed by\na,Minna\n' >whose.csv
no import whose.csv
hanklab list --json | tr ',' '\n' | grep -c '"skein":'
hanklab check
