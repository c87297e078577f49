/* Tags to tie on before the pot is lit. See paper/paper.h. */
#include "paper/paper.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/ask.h"
#include "book/number.h"
#include "book/record.h"
#include "cautions.h"
#include "numeral.h"

#define DIGIT_MM 14.8 /* at least 14 are wanted when the printer shrinks it */
#define LAST_WITH_ROOM 9999 /* for a pencil beside it */

struct tag {
    int64_t number, id;
    struct ask_skein *skein; /* NULL: not in the book yet */
};

struct tags {
    struct tag *tag;
    size_t count;
};

/* ---- which ------------------------------------------------------------------
 */

/* id  of its skein; 0: not in the book yet */
static bool add_tag(struct book *book, struct tags *t, int64_t number,
                    int64_t id, struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    struct tag tag = {.number = number, .id = id};

    for (size_t i = 0; i < t->count; i++)
        if (t->tag[i].number == number && t->tag[i].id == id)
            return true; /* one tag is enough */
    if (t->count == PAPER_TAGS_MOST)
        return error_set(err, ERR_LIMIT,
                         "at most %d tags at once: print the others after "
                         "these",
                         PAPER_TAGS_MOST);
    if (number < 1 || number > PAPER_TAG_LAST)
        return error_set(err, ERR_LIMIT,
                         "%lld is no number for a tag: 1 to %d have room on it",
                         (long long)number, PAPER_TAG_LAST);
    if (id) {
        tag.skein = mem_new(1, sizeof *tag.skein);
        if (!ask_skein(book, id, &any, tag.skein, err)) {
            free(tag.skein);
            return false;
        }
    }
    t->tag = mem_room(t->tag, t->count, sizeof *t->tag);
    t->tag[t->count++] = tag;
    return true;
}

static bool add_range(struct book *book, struct tags *t, int64_t from,
                      int64_t to, struct error *err)
{
    bool ok =
        from <= to ||
        error_set(err, ERR_INPUT, "tags go upwards: %lld-%lld, not %lld-%lld",
                  (long long)to, (long long)from, (long long)from,
                  (long long)to);
    int64_t id;

    for (int64_t n = from; ok && n <= to; n++)
        ok = number_skein(book, n, &id, err) && add_tag(book, t, n, id, err);
    return ok;
}

static bool add_named(struct book *book, struct tags *t, const char *name,
                      struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    struct ask_skein skein;
    int64_t id, number;

    if (!record_find(book, NOUN_SKEIN, name, &id, err) ||
        !record_stands(book, NOUN_SKEIN, id, "its tag is printed", err) ||
        !ask_skein(book, id, &any, &skein, err))
        return false;
    number = skein.number;
    ask_skein_clear(&skein);
    return add_tag(book, t, number, id, err);
}

/* Takes a number and the blanks round it off the words; one too long for any
 * tag is the greatest there is. */
static bool take_number(const char **words, int64_t *out)
{
    char *end;

    *words += strspn(*words, " ");
    if (!isdigit((unsigned char)**words))
        return false;
    *out = strtoll(*words, &end, 10);
    *words = end + strspn(end, " ");
    return true;
}

/* "12", "12-48", "12 to 48"; false for anything else. */
static bool read_range(const char *words, int64_t *from, int64_t *to)
{
    static const char *const between[] = {"-", "\xE2\x80\x93", "to "};

    if (!take_number(&words, from))
        return false;
    *to = *from;
    for (size_t i = 0; i < ARRAY_LEN(between); i++) {
        const char *rest = words + strlen(between[i]);
        if (!strncmp(words, between[i], strlen(between[i])))
            return take_number(&rest, to) && !*rest;
    }
    return !*words;
}

static bool read_words(struct book *book, const char *words, struct tags *t,
                       struct error *err)
{
    char *copy = mem_text(words), *rest = NULL;
    int64_t from, to;
    bool ok = true;

    for (char *s = strtok_r(copy, ",;\n", &rest); ok && s;
         s = strtok_r(NULL, ",;\n", &rest)) {
        char *part = text_trim(s);
        if (read_range(part, &from, &to))
            ok = add_range(book, t, from, to, err);
        else if (*part)
            ok = add_named(book, t, part, err);
        free(part);
    }
    free(copy);
    if (ok && !t->count)
        ok = error_set(err, ERR_INPUT,
                       "say which tags: \"1-48\", or skeins with commas "
                       "between");
    return ok;
}

/* ---- how they look ---------------------------------------------------------
 */

/* What stands on it beside the number: how it is called, what it has been
 * through. */
static void what_words(const struct ask_skein *s, struct text *out)
{
    const char *called = s->code ? s->code : s->name;

    if (!s->mine)
        text_add(out, s->label);
    if (called)
        text_addf(out, "%s%s", out->len ? " " : "", called);
    if (s->layers || s->mordants) {
        struct ask_skein bare = *s;
        bare.bath = NULL; /* its number would be taken for the skein's */
        text_add(out, out->len ? ": " : "");
        ask_recipe_words(&bare, out);
    }
}

static bool add_one(struct book *book, const struct tag *tag,
                    struct cautions *all, struct text *out, struct error *err)
{
    const struct ask_skein *s = tag->skein;
    struct text what = {0};
    bool ok = true;

    text_add(out, "<li><span class=\"hole\"></span>");
    numeral_add(out, tag->number, DIGIT_MM);
    if (tag->number <= LAST_WITH_ROOM) {
        text_add(out, "<div class=\"pencil\"><p>");
        if (s && !isnan(s->weight_g))
            html_addf(out, "%.1f ", s->weight_g);
        text_add(out, "g</p><p></p></div>");
    }
    knots_add(out, tag->number);
    if (s) {
        what_words(s, &what);
        ok = cautions_of(book, s->last_dyestuffs, all, err) &&
             cautions_of(book, s->under, all, err) &&
             cautions_of(book, s->mordants, all, err) &&
             cautions_of(book, s->dips, all, err);
    }
    html_addf(out, "<p class=\"what\">%s</p></li>\n", text_str(&what));
    text_clear(&what);
    return ok;
}

/* Letters that fit below the tags: of 7 point four lines on Letter and seven on
 * A4, as Chromium sets them. */
static size_t room(enum paper_size size)
{
    return size == PAPER_LETTER ? 640 : 1200;
}

static void begin_sheet(enum paper_size size, const char *label,
                        struct text *out)
{
    html_addf(out, "<section class=\"sheet%s\" aria-label=\"%s\">\n",
              size == PAPER_LETTER ? " short" : "", label);
}

static void add_foot(struct cautions *all, enum paper_size size,
                     struct text *out)
{
    const bool fits = cautions_length(all) <= room(size);

    text_add(out, "<footer><p>Tie it on before the pot; write in pencil. Paper "
                  "does not outlive a pot: print on waterproof sheets, or copy "
                  "the number onto a strip that does. Should a tag be lost, "
                  "knots in a spare thread still tell the number, from the "
                  "skein outwards: ");
    knots_add_sign(out, 'k');
    text_add(out, " one, ");
    knots_add_sign(out, 't');
    text_add(out, " a thick knot: five, ");
    knots_add_sign(out, 'l');
    text_add(out, " a loop: nought; a wide gap before the next digit.</p>");
    if (fits) {
        cautions_write(all, out);
        text_add(out, "</footer>");
        return;
    }
    text_add(out,
             "<p class=\"beware\"><b>What to beware of stands on the sheet "
             "behind this one.</b></p></footer></section>\n");
    begin_sheet(size, "What to beware of", out);
    text_add(out,
             "<h2>What to beware of</h2>\n<p>Of what the tags of the sheet "
             "before this one name:</p>\n");
    cautions_write(all, out);
}

static bool add_sheet(struct book *book, const struct tag *tag, size_t n,
                      enum paper_size size, struct text *out, struct error *err)
{
    struct cautions all = {0};
    bool ok = true;

    text_add(out, "<ol class=\"tags\">\n");
    for (size_t i = 0; ok && i < n; i++)
        ok = add_one(book, &tag[i], &all, out, err);
    text_add(out, "</ol>\n");
    add_foot(&all, size, out);
    return ok;
}

bool paper_tags(struct book *book, const char *words, enum paper_size size,
                struct text *out, struct error *err)
{
    struct tags t = {0};
    int64_t next;
    bool ok = book_look(book, err);

    if (ok && words)
        ok = read_words(book, words, &t, err);
    else if (ok)
        ok = number_next(book, &next, err) &&
             add_range(book, &t, next, next + PAPER_TAGS_A_SHEET - 1, err);
    for (size_t i = 0; ok && i < t.count; i += PAPER_TAGS_A_SHEET) {
        size_t left = t.count - i;
        struct text label = {0};
        text_addf(&label, "Sheet %zu of %zu", i / PAPER_TAGS_A_SHEET + 1,
                  (t.count - 1) / PAPER_TAGS_A_SHEET + 1);
        begin_sheet(size, text_str(&label), out);
        ok = add_sheet(book, &t.tag[i],
                       left < PAPER_TAGS_A_SHEET ? left : PAPER_TAGS_A_SHEET,
                       size, out, err);
        text_clear(&label);
        text_add(out, "</section>\n");
    }
    for (size_t i = 0; i < t.count; i++)
        if (t.tag[i].skein) {
            ask_skein_clear(t.tag[i].skein);
            free(t.tag[i].skein);
        }
    free(t.tag);
    book_look_end(book);
    return ok;
}
