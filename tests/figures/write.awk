# Every part of a page that stands between "<!-- measured by PROGRAM WORDS -->"
# and "<!-- so far -->" measured anew; with `only`, those of that first word and,
# with `rounds`, with that for the second. Where PROGRAM finds less to
# measure (photographs that are not here), so that its table would lose rows,
# the part stays as it was.
#     awk -v build=build/gcc -v today=2026-01-31 -f write.awk docs/figures.md
function rows(text,  line) { return split(text, line, /\n\|/) }

/^<!-- measured by / && (only == "" || $5 == only) {
    if (rounds != "" && NF == 7)
        $6 = rounds
    print
    program = build "/" substr($0, 18, length($0) - 21)
    fresh = ""
    while ((program | getline line) > 0)
        fresh = fresh line "\n"
    if (close(program) != 0)
        exit 1
    sub(/^\n*/, "\n", fresh)
    sub(/\n*$/, "\n\n", fresh)
    inside = 1
    old = ""
    next
}
/^<!-- so far -->/ && inside {
    printf "%s", rows(fresh) < rows(old) ? old : fresh
    inside = 0
}
inside { old = old $0 "\n"; next }
{
    if (/`make (accuracy|bench)` printed on / && only == "")
        sub(/ printed on [0-9-]+/, " printed on " today)
    print
}
