# Skeins as the book shows them when they are measured, in every form.
. "$HERE/tests/cli/shelf.sh"
quietly hanklab skein withdraw 34
quietly hanklab skein withdraw 82
hanklab list --limit 3
hanklab list --withdrawn --limit 4
hanklab list --csv --withdrawn
hanklab list --json --limit 1
hanklab list readings --limit 2
echo "- one skein, one pot"
hanklab show 31
hanklab show 34
hanklab show 53
hanklab show bath 1
hanklab show 31 --json | sed 's/"uid":"[0-9a-f]*"/"uid":"..."/g'
