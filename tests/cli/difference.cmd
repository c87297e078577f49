# How far apart two typed colours are.
# Pairs 1, 16 and 34 of Sharma, Wu, Dalal, Color Res. Appl. 30 (2005) 21-30:
# 2.0425, 4.3065 and 0.9082.
no() {
    hanklab difference "$@"
    echo "exit $?"
}
hanklab difference 50,2.6772,-79.7751 50,0,-82.7485
hanklab difference 50,2.6772,-79.7751 50,0,-82.7485 --json
hanklab difference 50,2.5,0 50,0,-2.5 --json
hanklab difference 2.0776,0.0795,-1.135 0.9033,-0.0636,-0.5514 --csv
hanklab difference "40, 44, 25" "40, 44, 25"
echo "- CMC asks which is the standard"
hanklab difference 40,44,25 47,44,27 --csv
hanklab difference 47,44,27 40,44,25 --csv
echo "- what is no colour"
no
no 40,44,25
no 40,44,25 40,44
no madder 40,44,25
no 40,44,25 "40;44"
no 40,44,25 40,44,25,3
no 140,44,25 40,44,25
no 40,nan,25 40,44,25
no 40,1e300,25 40,44,25
