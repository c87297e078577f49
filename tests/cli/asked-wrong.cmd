# What is asked for in a way that says nothing, and names that say enough.
hanklab init --dyer Mine
h() {
    echo "- $*"
    hanklab "$@" >out 2>&1
    status=$?
    # When it was done is another time each time.
    sed 's/20[0-9][0-9]-[0-9-]* [0-9][0-9]:[0-9][0-9]  /WHEN  /' out
    [ $status -eq 0 ] || echo "exit $status"
}
cp "$HERE/fixtures/undyed.jpg" .
h log "night pot" --skeins 2 --dyestuff madder
h history 0
h history -1
h history 2 --back-to 2
h history --at 2
h history skein
h act show 0
h undo 0
h help soup
h help skein soup
h soup
h skein soup
h skein list --soup
h show "night pot"
h show soup
echo "- an act that something later stands on"
h reading add 1 --lab 41,44,27 --source eye
h undo 2
h undo
h undo 2 --json
h history
h show "night pot"
h bath back "night pot"
echo "- a picture by the number that the list shows"
h photo add undyed.jpg
h photo list
h show photo 1
h photo show 2
h photo show ______
h material show 2
h material edit 2 --latin "Rubia tinctorum"
echo "- a bad value is put right (1); a command written wrongly is looked up (2)"
h grid --rows soup
h find --limit soup
h find --soup
h reckon --weight soup
h measure undyed.jpg --card-box 0,0,9,9 --region 0,0,9,9 --assume-profile soup
h measure undyed.jpg --region 0,0,9,9
h dose add alum --bath 1
h dose add "cream of tartar" --bath 1
h skein edit 1 --weight "summer 2019"
h skein edit 1 --length "20 g"
h log tub --date "about 9"
