# Every part of docs/figures.md that stands between "<!-- measured by PROGRAM
# WORDS -->" and "<!-- so far -->" measured anew. Where PROGRAM finds less to
# measure (photographs that are not here), so that its table would lose rows,
# the part stays as it was.
#     awk -v build=build/gcc -v today=2026-01-31 -f write.awk docs/figures.md
function rows(text,  line) { return split(text, line, /\n\|/) }

/^<!-- measured by / {
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
/^<!-- so far -->/ {
    printf "%s", rows(fresh) < rows(old) ? old : fresh
    inside = 0
}
inside { old = old $0 "\n"; next }
{
    sub(/`make accuracy` printed on [0-9-]+/,
        "`make accuracy` printed on " today)
    print
}
