/* What was reckoned, to be weighed out by. See paper/paper.h. */
#include "paper/paper.h"

#include <string.h>

#include "base/html.h"
#include "dye/caution.h"
#include "ink.h"

void paper_weigh(const struct sums *sums, enum paper_size size,
                 struct text *out)
{
    const struct sums_line *line;
    struct text cautions = {0};

    ink_begin(out, size, "weigh", "To weigh out");
    text_add(out, "<h2>To weigh out</h2>\n<p class=\"lines\"><span>pot</span>"
                  "<span>day</span><span>skeins</span></p>\n<table>"
                  "<thead><tr><th scope=\"col\">done</th><th scope=\"col\">what"
                  "</th><th scope=\"col\">how much</th><th scope=\"col\">"
                  "weighed</th></tr></thead><tbody>\n");
    for (size_t i = 0; (line = sums_line_at(sums, i)); i++) {
        if (!line->label.len)
            continue;
        text_add(out, "<tr><td>");
        text_add(out, line->record_only ? "" : ink_tick);
        html_addf(out, "</td><th scope=\"row\">%s</th><td><b>%s</b>",
                  text_str(&line->label), text_str(&line->result));
        ink_lines(out, "p", text_str(&line->notes));
        text_add(out, "</td><td class=\"blank\"></td></tr>\n");
    }
    text_add(out, "</tbody></table>\n");
    sums_cautions(sums, &cautions);
    if (cautions.len) {
        text_add(out, "<footer>");
        ink_lines(out, "p", text_str(&cautions));
        html_addf(out, "<p><i>%s</i></p></footer>\n", caution_closing);
    }
    text_clear(&cautions);
    ink_end(out);
}
