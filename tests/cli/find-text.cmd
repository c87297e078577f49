# Words of notes.
ask() {
    echo "- $*"
    "$@"
    code=$?
    [ $code -eq 0 ] || echo "exit $code"
}
hanklab init --dyer Mine >/dev/null
hanklab material add tansy >/dev/null
hanklab supply add --material "tansy" --name "tansy 2026" \
    --note "from the railway bank, pidä erillään" >/dev/null
hanklab log kettle --dyestuff "tansy: 100 g; supply=tansy 2026" \
    --skein "number=31; note=the lid slipped" --skein number=32 >/dev/null 2>&1
hanklab log --of kettle --skein number=35 --note "Märkä päivä: stove went out" \
    >/dev/null 2>&1
hanklab log weld --dyestuff weld --skein number=47 >/dev/null 2>&1
ask hanklab find --text "RAILWAY bank"
ask hanklab list --text "bank railw"
ask hanklab find --text "marka stove"
ask hanklab find --text "lid stove"
ask hanklab list --text 'lid" OR (stove* NEAR -'
ask hanklab list --text 'slipped AND'
ask hanklab list --text '" * ( ) : ^ - +'
ask hanklab list --text ''
ask hanklab find pidä
ask hanklab find nowhere
echo "- what an act changes, withdraws and takes back"
hanklab supply edit "tansy 2026" --note "from a garden" >/dev/null
ask hanklab list --text railway
ask hanklab list --text garden --csv
hanklab undo >/dev/null
ask hanklab list --text garden
ask hanklab list --text erillaan --csv
hanklab skein withdraw 31 >/dev/null
ask hanklab list --text lid
hanklab skein back 31 >/dev/null
hanklab skein edit 31 --weight "20 g" >/dev/null
ask hanklab list --text lid --csv
ask hanklab check
