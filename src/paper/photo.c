/* How to take the picture, to hang where it is taken. What it says is that of
 * docs/measuring.md. */
#include "paper/paper.h"

#include "base/html.h"
#include "base/mem.h"
#include "ink.h"

static const struct {
    const char *head, *words;
} rules[] = {
    {"Dry", "The skein is dry, since yesterday at the least. Wet wool is "
            "darker than it will be."},
    {"One light", "Open shade, or a window under a grey sky, from one side. "
                  "Lamps off, no sun, no flash."},
    {"Grey card", "Beside the skeins and as high as they are, turned to the "
                  "light as they are. Clean, and no shadow of phone or hand "
                  "on it."},
    {"No table", "Two layers of yarn, strands side by side, on a dull grey or "
                 "brown ground: nothing white, bright or shiny near."},
    {"From above", "Straight down, from so far that card and skeins fill the "
                   "middle two thirds. Tags in the picture, beside the yarn."},
    {"Not too bright", "Tap on the palest skein, or turn the exposure down a "
                       "little. Too dark can be mended, burnt out cannot."},
    {"Plain camera", "HDR, night, portrait, filters, \"vivid\" off. The same "
                     "phone and the same way each time."},
    {"Two of each", "Turn the skein a quarter and take a second one."},
    {"The file itself", "The JPEG as the camera wrote it. No screenshot, "
                        "nothing that went through a messenger."},
};

/* A window, the card and three skeins as they lie, seen from above. */
static const char drawing[] =
    "<svg class=\"drawing\" viewBox=\"0 0 180 74\" role=\"img\" "
    "aria-label=\"From above: a window at the left, the grey card and two "
    "skeins beside each other, the phone over the middle\" fill=\"none\" "
    "stroke=\"#000\" stroke-width=\".6\">"
    "<path d=\"M4 8V66M8 8V66M4 8h4M4 66h4M4 37h4\"/>"
    "<path stroke=\"#777\" d=\"M12 20h18M12 37h18M12 54h18M27 17.5l4 2.5-4 "
    "2.5M27 34.5l4 2.5-4 2.5M27 51.5l4 2.5-4 2.5\"/>"
    "<rect x=\"38\" y=\"6\" width=\"112\" height=\"62\" stroke=\"#777\" "
    "stroke-dasharray=\"2 1.5\"/>"
    "<rect x=\"54\" y=\"18\" width=\"24\" height=\"38\" fill=\"#777\"/>"
    "<path d=\"M86 20c0-3 16-3 16 0v34c0 3-16 3-16 0zM90 18v38M94 17.7v38.600"
    "M98 18v38M112 20c0-3 16-3 16 0v34c0 3-16 3-16 0zM116 18v38M120 "
    "17.7v38.600M124 18v38\"/>"
    "<path d=\"M104 46h6v8h-6zM130 46h6v8h-6z\"/>"
    "<rect x=\"160\" y=\"22\" width=\"14\" height=\"28\" rx=\"2\"/>"
    "<circle cx=\"167\" cy=\"26\" r=\"1.6\"/>"
    "<path stroke=\"#777\" d=\"M158 36H140M143.500 33.5l-3.5 2.5 3.5 2.5\"/>"
    "</svg>";

bool paper_photo(struct book *book, const char *words, enum paper_size size,
                 struct text *out, struct error *err)
{
    (void)book;
    (void)words;
    (void)err;
    ink_begin(out, size, "p-photo", "How to take the picture");
    text_add(out, "<h2>How to take the picture</h2>\n");
    text_add(out, drawing);
    text_add(out, "<p class=\"p-keys\"><span>light from one side</span><span>"
                  "grey card</span><span>skeins with tags</span><span>phone, "
                  "straight above</span></p>\n<ol class=\"rules\">\n");
    for (size_t i = 0; i < ARRAY_LEN(rules); i++)
        html_addf(out, "<li><span class=\"p-tick\"></span><b>%s</b> %s</li>\n",
                  rules[i].head, rules[i].words);
    text_add(out, "</ol>\n<p>Not to be told by any photo: whether two colours "
                  "that are nearly alike match. Lay those skeins together.</p>"
                  "\n");
    ink_end(out);
    return true;
}
