# Answers as pictures in files, beside what is said.
. "$HERE/tests/cli/shelf.sh"
said() { sed -n 's/.*<title>\(.*\)<\/title><desc>\(.*\)<\/desc>.*/\1\n  \2/p' "$1"; }
ask() {
    echo "- $*"
    "$@" >told
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
quietly hanklab reading add --fibre "two-ply wool" --lab 85,1.5,12 \
    --u 0.6,0.5,0.6 --illuminant D50 --observer 2 --geometry 45/0
ask hanklab grid --no-dip --round first --svg grid.svg
said grid.svg
ask hanklab palette 3 --svg palette.svg
said palette.svg
ask hanklab palette 6 --foretold --even --svg palette.svg
said palette.svg
ask hanklab match 40,40,24 --limit 3 --svg match.svg
said match.svg
ask hanklab repeat 31 --svg repeat.svg
said repeat.svg
ask hanklab find olive --svg map.svg
said map.svg
ask hanklab list --dyestuff tansy --svg rack.svg
said rack.svg
ask hanklab fade "madder kettle" --svg fade.svg
said fade.svg
ask hanklab fade "madder kettle" "weld kettle" --svg fades.svg
said fades.svg
grep -c "round by round" told
ask hanklab fade tansy --svg fade.svg
said fade.svg
ask hanklab list --svg no/such/folder.svg
ask hanklab list baths --svg rack.svg
ask hanklab fade "madder kettle" nothing
echo "- several baths in JSON and CSV"
hanklab fade "madder kettle" tansy --json | grep -o '"bath":"[^"]*"'
hanklab fade "madder kettle" tansy --csv | tail -n 1
