/* The rack: each bath a rod, its skeins on it in the order of their rounds. */
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/ask.h"
#include "book/cut.h"
#include "book/picture.h"
#include "book/sheet.h"
#include "fastness.h"
#include "narrow.h"
#include "page.h"
#include "routes.h"

#define HANKS_A_PAGE 300 /* a rod is never parted */
#define FEW 4            /* hanks on a rod that leave room for one beside it */

static bool unfinished(const struct ask_skein *s)
{
    return s->unfinished;
}

static bool measured(const struct ask_skein *s)
{
    return s->lack == ASK_HAS_COLOUR;
}

/* "alum, iron dip", "no mordant", "" when not recorded. */
static void lane_words(const struct ask_skein *s, struct text *out)
{
    if (s->mordants)
        text_add(out, s->mordants);
    else if (s->no_mordant)
        text_add(out, "no mordant");
    if (s->dips)
        text_addf(out, "%s%s dip", out->len ? ", " : "", s->dips);
}

/* Why it hangs there without colour, in as much room as a hank has; "" when
 * there is nothing more to say of it than that it does. */
static const char *short_lack(enum ask_lack lack)
{
    switch (lack) {
    case ASK_OTHER_LIGHT:
        return "other light";
    case ASK_BY_EYE:
        return "by eye";
    case ASK_OTHER_PART:
        return "part only";
    case ASK_WETNESS:
        return "only wet";
    case ASK_EARLIER:
    case ASK_NEVER: /* the dashed outline tells */
    case ASK_HAS_COLOUR:
    case ASK_LACKS:
        break;
    }
    return "";
}

static void add_hank(struct text *o, const struct ask_skein *s)
{
    const struct lab *c = ask_skein_colour(s);
    struct text lane = {0}, colour = {0};
    int outside = 0;

    lane_words(s, &lane);
    ask_colour_words(s, &colour);
    html_addf(o, "<li><a href=\"/skein/%-s\" title=\"Skein %s%s%s, %s\">",
              s->label, s->label, lane.len ? ", " : "", text_str(&lane),
              text_str(&colour));
    page_hank(o, HANK_HUNG, c);
    text_add(o, "<span class=\"string\"></span>");
    page_tag(o, unfinished(s) ? " part" : "", s->label, s->code);
    html_addf(o, "<span class=\"lane\">%s",
              lane.len ? text_str(&lane) : "\xE2\x80\x93");
    if (c)
        srgb8_from_lab(*c, &outside);
    if (s->as)
        html_addf(o, "<b class=\"st\">as %s</b>", s->as);
    else if (outside)
        text_add(o, "<b class=\"st\">paler here</b>");
    else if (!c && *short_lack(s->lack))
        html_addf(o, "<b class=\"st\">%s</b>", short_lack(s->lack));
    text_add(o, "</span></a></li>\n");
    text_clear(&lane);
    text_clear(&colour);
}

/* How many, from the first on, are in its round. */
static size_t same_round(struct ask_skein **s, size_t n)
{
    size_t k = 1;

    while (k < n && s[k]->has_round == s[0]->has_round &&
           s[k]->round == s[0]->round)
        k++;
    return k;
}

static void add_rod(struct text *o, struct ask_skein **s, size_t n)
{
    text_add(o, "<div class=\"rods\">\n");
    for (size_t i = 0, k; i < n; i += k) {
        struct text round = {0};

        k = same_round(s + i, n - i);
        if (s[i]->has_round)
            ask_round_words(s[i]->round, &round);
        html_addf(o, "<section class=\"round\"><h3>%s</h3>",
                  s[i]->has_round ? text_str(&round)
                  : s[i]->bath_id ? "no round recorded"
                                  : "never in a bath");
        text_add(o, "<ul class=\"hanks\">\n");
        for (size_t j = 0; j < k; j++)
            add_hank(o, s[i + j]);
        text_add(o, "</ul></section>\n");
        text_clear(&round);
    }
    text_add(o, "</div>\n");
}

/* "60 %, pH 7", as typed at the first bath. */
static void bath_facts(const struct pot_sheet *p, struct text *o)
{
    bool any = false;

    for (size_t i = 0; i < p->doses.count; i++) {
        const struct sheet_dose *d = &p->doses.dose[i];
        if (d->from || d->before_round > 0)
            continue;
        html_addf(o, "%s%s %s", any ? ", " : "", d->what,
                  d->words ? d->words : "");
        any = true;
    }
    if (p->rounds && p->round[0].ph)
        html_addf(o, "%spH %s", any ? ", " : "", p->round[0].ph);
}

static const char *name_of(const struct record *bath)
{
    const struct record_field *name = record_get(bath, "name");

    return name ? name->words : "unnamed";
}

static bool add_bath(struct request *r, struct ask_skein **s, size_t n,
                     struct error *err)
{
    struct text *o = &r->out;
    struct pot_sheet p = {0};
    long long id = (long long)s[0]->bath_id;

    if (!id) {
        text_add(o, "<section class=\"bath\" aria-labelledby=\"bath0\">\n"
                    "<header><h2 id=\"bath0\">Not dyed</h2></header>\n");
        add_rod(o, s, n);
        text_add(o, "</section>\n");
        return true;
    }
    if (!sheet_of_pot_head(r->book, s[0]->bath_id, &p, err))
        return false;
    html_addf(o,
              "<section class=\"bath\" aria-labelledby=\"bath%lld\">\n<header>"
              "<h2 id=\"bath%lld\"><a href=\"/bath/%-s\">%s</a></h2>\n"
              "<p><span>bath %s%s%s</span> <span>",
              id, id, s[0]->bath, name_of(&p.bath), s[0]->bath,
              s[0]->on_words ? ", " : "", s[0]->on_words);
    bath_facts(&p, o);
    html_addf(
        o,
        "</span></p>\n<p class=\"go\"><a href=\"/fade?bath=%-s\">How "
        "it fades</a> <a href=\"/log?of=%-s\">Next round</a></p></header>\n",
        s[0]->bath, s[0]->bath);
    add_rod(o, s, n);
    text_add(o, "</section>\n");
    pot_sheet_clear(&p);
    return true;
}

static size_t count(struct ask_skein **s, size_t n,
                    bool (*is)(const struct ask_skein *))
{
    size_t k = 0;

    for (size_t i = 0; i < n; i++)
        k += is(s[i]);
    return k;
}

static size_t same_bath(struct ask_skein **s, size_t n)
{
    size_t k = 1;

    while (k < n && s[k]->bath_id == s[0]->bath_id)
        k++;
    return k;
}

static size_t baths(struct ask_skein **s, size_t n)
{
    size_t count = 0;

    for (size_t i = 0; i < n; i += same_bath(s + i, n - i))
        count += s[i]->bath_id != 0;
    return count;
}

/* The rod of an empty book. */
static void add_bare(struct text *o)
{
    text_add(o,
             "<section class=\"bath bare-rack\"><div class=\"rods\"><section "
             "class=\"round\"><ul class=\"hanks\">");
    for (int i = 0; i < 3; i++) {
        text_add(o, "<li>");
        page_hank(o, HANK_HUNG, NULL);
        text_add(o, "</li>");
    }
    text_add(o, "</ul></section></div>\n<p>Nothing hangs here yet.</p>\n<p><a "
                "class=\"btn main\" href=\"/log\">Log the first pot</a></p>"
                "</section>\n");
}

static void add_head(struct request *r, struct ask_skein **s, size_t n,
                     size_t in_pieces)
{
    html_addf(&r->out,
              "<div class=\"head\"><h1>The rack</h1><p>%zu bath%s, %zu "
              "skein%s, %zu measured",
              baths(s, n), baths(s, n) == 1 ? "" : "s", n, n == 1 ? "" : "s",
              count(s, n, measured));
    if (in_pieces)
        html_addf(&r->out, "; %zu hang%s here in pieces", in_pieces,
                  in_pieces == 1 ? "s" : "");
    text_add(&r->out, "</p></div>\n");
    if (!n)
        add_bare(&r->out);
}

/* What was begun at the pot and waits for the rest. */
static void add_unfinished(struct request *r, struct ask_skein **s, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (!unfinished(s[i]))
            continue;
        html_addf(
            &r->out,
            "<p class=\"wait\"><span class=\"tag part\">%s</span> "
            "<span><b>Unfinished:</b> <span class=\"own\">%s</span></span>"
            " <a href=\"/record/skein/%lld\">Finish it</a></p>\n",
            s[i]->label,
            s[i]->name        ? s[i]->name
            : s[i]->bath_name ? s[i]->bath_name
                              : "no name",
            (long long)s[i]->id);
    }
}

/* Pots that are a name so far. */
static bool add_empty_baths(struct request *r, struct error *err)
{
    int64_t *ids;
    size_t n;
    bool ok = ask_empty_baths(r->book, &ids, &n, err);

    for (size_t i = 0; ok && i < n; i++) {
        struct text label = {0};
        struct record bath;

        ok = page_bath(r, ids[i], &label, err) &&
             record_read(r->book, NOUN_BATH, ids[i], &bath, err);
        if (ok) {
            html_addf(&r->out,
                      "<p class=\"wait\"><span><b>No skein yet:</b> <a "
                      "href=\"/bath/%-s\">%s</a></span> <a "
                      "href=\"/log?of=%-s\">Finish it</a></p>\n",
                      text_str(&label), name_of(&bath), text_str(&label));
            record_clear(&bath);
        }
        text_clear(&label);
    }
    free(ids);
    return ok;
}

/* The rods from `first` on that a page holds, whole ones; where the next page
 * begins. On a wide screen those with few hanks are two abreast. */
static bool add_rods(struct request *r, struct ask_skein **s, size_t n,
                     size_t first, size_t *next, struct error *err)
{
    bool abreast = false, few;
    size_t i = first, k;

    for (; i < n && (i == first || i - first < HANKS_A_PAGE); i += k) {
        k = same_bath(s + i, n - i);
        few = k <= FEW && s[i]->bath_id;
        if (few != abreast)
            text_add(&r->out, few ? "<div class=\"abreast\">\n" : "</div>\n");
        abreast = few;
        if (!add_bath(r, s + i, k, err))
            return false;
    }
    text_add(&r->out, abreast ? "</div>\n" : "");
    *next = i;
    return true;
}

/* Those that hang: of what is cut up only the pieces do. */
static bool hang(struct request *r, struct ask_skeins *all,
                 struct ask_skein **s, size_t *n, struct error *err)
{
    int64_t *up;
    size_t ups;
    bool ok = cut_up(r->book, &up, &ups, err);

    *n = 0;
    for (size_t i = 0; ok && i < all->count; i++)
        if (!cut_is_up(up, ups, all->skein[i].id))
            s[(*n)++] = &all->skein[i];
    free(up);
    qsort(s, *n, sizeof *s, picture_rack_order);
    return ok;
}

bool rack_page(struct request *r, struct error *err)
{
    struct ask_filter any = ask_filter_any();
    struct ask_skeins all;
    struct ask_skein **s;
    const char *from = pairs_get(&r->query, "from");
    long long first = 0;
    size_t next = 0, n;
    bool ok;

    if (from && (!text_whole(from, &first) || first < 0))
        return error_set(err, ERR_INPUT, "\"%s\" is not a place on the rack",
                         from);
    if (!ask_skeins(r->book, &any, 0, &all, err))
        return false;
    if (narrow_picture(r, "rack")) {
        picture_of_rack(&all, &r->out);
        ask_skeins_free(&all);
        return true;
    }
    s = mem_new(all.count, sizeof *s);
    ok = hang(r, &all, s, &n, err);
    page_begin(r, "The rack", "Rack");
    add_head(r, s, n, all.count - n);
    if (!first) {
        copies_remind(r, n);
        add_unfinished(r, s, n);
    }
    ok = ok &&
         (first || (fastness_remind(r, err) && add_empty_baths(r, err))) &&
         add_rods(r, s, n, (size_t)first, &next, err);
    if (ok && next < n)
        html_addf(&r->out,
                  "<p class=\"more\"><a href=\"/?from=%zu\">Further along the "
                  "rack: %zu more</a></p>\n",
                  next, n - next);
    narrow_picture_link(r);
    page_end(r);
    free(s);
    ask_skeins_free(&all);
    return ok;
}
