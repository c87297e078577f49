# What comes after: a dip next day, a pot of last night filled in.
hanklab init --dyer Mine
say() { # ARGUMENTS of log
    echo "- $*"
    hanklab log "$@" 2>&1 | grep -v -e ' is new in the book' -e '^[a-z]*: [A-Z]' \
        -e '^Follow the product'
}
life() { hanklab show "$1" | sed '/^not recorded/d'; }
hanklab log kettle --date 2026-05-03 --dyestuff "madder: 60 %" \
    --mordant "alum: 12 %" --skein "20 g" --skein "20 g" >said 2>&1
echo "# an iron dip of skeins logged before"
say "iron dip" --dip "iron: 2 %" --skein 1
say --of kettle --dip "iron: 2 %"
say --of kettle --skein "1; dip=iron: 2 %"
say --of kettle --dip "iron: 2 %" --skein 1 --skein 2 --date 2026-05-04 \
    --note "outdoors"
life 1
life 2
hanklab find --dyestuff madder --dip iron
echo "# a dip of a bath comes before the next one"
say weld --dyestuff weld --skein 1
say --of kettle --skein "1; dip=iron; dipped=ends; note=quick" --json
life 1
say --of kettle --round "exhaust 1" --skein 2 --dip iron
say --of kettle --skein "a new one; dip=iron"
echo "# a pot of last night"
say "night pot" --skeins 3
say --of "night pot" --round first --mordant "alum: 12 %" --dyestuff madder \
    --weight "20 g" --date 2026-05-03
say --of "night pot" --round first --skein "5; mordant=alum: 12 %"
say --of "night pot" --round first --skein "6; dipped=half; mordant=iron; note=odd"
say --of "night pot" --round first --skein "6; dipped=a third"
say --of "night pot" --round first --skein 5
say --of "night pot" --round first --skeins 2
say --of "night pot" --round first --skeins 4
say --of "night pot" --round first --dip "soda: a pinch"
life 4
life 5
life 6
life 7
echo "# its day is its day"
say --of "night pot" --round first --date 3.5.2026 --minutes 45
say --of "night pot" --round first --date 4.5.2026
say --of "night pot" --round first --minutes 20 --skeins 1
hanklab show bath "night pot"
