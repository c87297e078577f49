# On a terminal without a name it asks; every answer may be left out.
hanklab init --dyer Mine
echo "- a whole conversation"
printf '%s\n' '?' '' 'madder kettle' '' '' '31.2.2026' '2026-05-03' 3 \
    'grey wool' '?' '20 g' same '22 g; mordant=iron: 2 %; wieght=3' \
    '22 g; mordant=iron: 2 %' 'alum: 12 %' '' 'cream of tartar: 6 %' '' \
    'madder: 2:1' 'weld: -1 g' '' '1 h; temperature=80' rain '' 'kettle' \
    'vinegar: 20 ml' '' 15 7-8 180 '180 F' 45 yes '' 'smelt good' '' |
    terminal hanklab log
echo "exit $?"
echo "- an exhaust of it, with a spare skein, then no"
printf '%s\n' 'madder kettle' '' '' '' 2 '' 1 . '' '' '' '' '' '' '' '' '' \
    '' '' '' no | terminal hanklab log
echo "exit $?"
echo "- options have their questions answered"
printf '%s\n' weld vat | terminal hanklab log --skeins 0 --date 2026-05-04
echo "exit $?"
echo "- a script is never asked"
hanklab log </dev/null
echo "exit $?"
echo "- nothing but the first was kept"
hanklab log next --json
echo "- yes and no to what sounds so"
printf '%s\n' slip '' '' '' 1 '' '' no yes 'madder: 60 %' n - '' '' '' \
    yes 'vinegar: 20 ml' n '' '' '' no n nothing no | terminal hanklab log
echo "exit $?"
echo "- a key slipped: what was said can be kept"
{
    printf '%s\n' weld '' '' 2026-05-04 2 '' '25 g; code=B1'
    printf '\004\n\n'
} | terminal hanklab log
echo "- a pot of the book alone is asked about, one not there is not"
printf '\004\nno\n' | terminal hanklab log --of weld
terminal hanklab log --of soup </dev/null
echo "exit $?"
echo "- no room on the disk: asked again"
(
    trap '' XFSZ
    ulimit -f 72
    printf '%s\n' 'big pot' '' '' '' 20 'grey wool' | { cat; printf '\004\n\nno\n'; } |
        terminal hanklab log
)
echo "exit $?"
