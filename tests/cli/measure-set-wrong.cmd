# Sets of photos that are written wrongly: one line each, nothing is kept.
hanklab init --dyer Mine
cp "$HERE/fixtures/madder-alum.jpg" a.jpg
m() {
    hanklab measure "$@"
    echo "exit $?"
}
set_of() {
    cat >set.json
    m --set set.json "$@"
}
m
m a.jpg --set set.json
m --set nowhere.json
m --set nowhere.json --card-box 1,2,3,4
m --set nowhere.json --auto
m a.jpg --and a.jpg --corrected out.jpg
m a.jpg --card-box 96,368,256,336 --region 496,368,160,200 --and a.jpg
m a.jpg --wet --card-box 96,368,256,336 --and a.jpg --wet
m a.jpg --card-tap 200,540 --card-tap 200,540
echo '{"photos": [' | set_of
echo '{"photos": []}' | set_of
echo '[]' | set_of
echo '{"photos": [{}], "card": "mine"}' | set_of
echo '{"photos": [{}]}' | set_of
echo '{"photos": [7]}' | set_of
echo '{"photos": [{"photo": "a.jpg", "boxes": "1,2,3,4"}]}' | set_of
printf '{"photos": [{"photo": "a.jpg", "\302\233": "1"}]}' | set_of
echo '{"photos": [{"photo": "a.jpg", "card-box": [96,368,256,336]}]}' | set_of
echo '{"photos": [{"photo": "a.jpg", "card": "mine"}]}' | set_of
echo '{"photos": [{"photo": "a.jpg", "card-tap": ["1,1", "2,2"]}]}' | set_of
echo '{"photos": [{"photo": "a.jpg", "tap": "1,1", "tap": "2,2"}]}' | set_of
echo '{"photos": [{"photo": "b.jpg", "card-box": "1,1,9,9", "tap": "3,3"}]}' |
    set_of --json
ls -d book/photos/*/* 2>/dev/null | wc -l
