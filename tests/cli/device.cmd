# Devices that were let in: listed, renamed, sent away; names never come back.
# What lets one in needs a page that is shared (tests/web/share.js).
ask() {
    echo "- $*"
    "$@"
}
hanklab init --dyer Mine
ask hanklab device list
ask hanklab device list --json
ask hanklab device add
ask hanklab device revoke 1
ask hanklab device
ask hanklab device sell 1
ask hanklab device rename 1
ask hanklab device revoke
{
    printf 'hanklab devices 1\n'
    printf 'device\t1\t%064d\t2026-05-03\t2026-05-04\tkitchen phone\n' 1
    printf 'device\t2\t%064d\t2026-05-05\t2026-05-05\ttablet\n' 2
} >"$HANKLAB_BOOK/devices"
ask hanklab device list
ask hanklab device rename "Kitchen  Phone" "phone by the stove"
ask hanklab device rename 2 "kitchen phone"
ask hanklab device rename 2 "phone by the stove"
ask hanklab device rename 2 page
ask hanklab device rename 2 " "
ask hanklab device rename 2 1
ask hanklab device revoke tablet
ask hanklab device revoke 2
ask hanklab device list
ask hanklab device list --csv
ask hanklab device list --json
echo "and more" >>"$HANKLAB_BOOK/devices"
ask hanklab device list
ask hanklab device revoke 1
ask hanklab serve --address 192.168.1.5
ask hanklab serve --share --address kitchen
ask hanklab serve --share --address 8.8.8.8 --port 0
