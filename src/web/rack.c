/* The rack: each bath a rod, its skeins on it in the order of their rounds. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/html.h"
#include "base/mem.h"
#include "book/ask.h"
#include "book/picture.h"
#include "book/rack.h"
#include "book/sheet.h"
#include "fastness.h"
#include "kept.h"
#include "narrow.h"
#include "page.h"
#include "routes.h"

#define HANKS_A_PAGE 300 /* a rod is never parted */
#define FEW 4            /* hanks on a rod that leave room for one beside it */
#define WAITING 12       /* lines of a kind before the rods */

/* "alum, iron dip", "no mordant", "" when not recorded. */
static void lane_words(const struct rack_hank *h, struct text *out)
{
    if (h->mordants)
        text_add(out, h->mordants);
    else if (h->no_mordant)
        text_add(out, "no mordant");
    if (h->dips)
        text_addf(out, "%s%s dip", out->len ? ", " : "", h->dips);
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

static void add_hank(struct text *o, const struct rack_hank *h)
{
    const struct lab *c = h->name ? &h->lab : NULL;
    struct text lane = {0};

    lane_words(h, &lane);
    html_addf(o, "<li><a href=\"/skein/%-s\" title=\"Skein %s%s%s, %s%s%s\">",
              h->label, h->label, lane.len ? ", " : "", text_str(&lane),
              h->name ? h->name->name : ask_lack_words(h->lack, false),
              h->as ? ", as skein " : "", h->as);
    page_hank(o, HANK_HUNG, c);
    text_add(o, "<span class=\"string\"></span>");
    page_tag(o, h->unfinished ? " part" : "", h->label, h->code);
    html_addf(o, "<span class=\"lane\">%s",
              lane.len ? text_str(&lane) : "\xE2\x80\x93");
    if (h->as)
        html_addf(o, "<b class=\"st\">as %s</b>", h->as);
    else if (c && page_is_outside(*c))
        text_add(o, "<b class=\"st\">paler here</b>");
    else if (!c && *short_lack(h->lack))
        html_addf(o, "<b class=\"st\">%s</b>", short_lack(h->lack));
    text_add(o, "</span></a></li>\n");
    text_clear(&lane);
}

/* How many, from the first on, are in its round. */
static size_t same_round(const struct rack_hank *s, size_t n)
{
    size_t k = 1;

    while (k < n && s[k].has_round == s[0].has_round &&
           s[k].round == s[0].round)
        k++;
    return k;
}

static void add_rod(struct text *o, const struct rack_hank *s, size_t n)
{
    text_add(o, "<div class=\"rods\">\n");
    for (size_t i = 0, k; i < n; i += k) {
        struct text round = {0};

        k = same_round(s + i, n - i);
        if (s[i].has_round)
            ask_round_words(s[i].round, &round);
        html_addf(o, "<section class=\"round\"><h3>%s</h3>",
                  s[i].has_round ? text_str(&round)
                  : s[i].bath_id ? "no round recorded"
                                 : "never in a bath");
        text_add(o, "<ul class=\"hanks\">\n");
        for (size_t j = 0; j < k; j++)
            add_hank(o, &s[i + j]);
        text_add(o, "</ul></section>\n");
        text_clear(&round);
    }
    text_add(o, "</div>\n");
}

static const char *name_of(const struct record *bath)
{
    const struct record_field *name = record_get(bath, "name");

    return name ? name->words : "unnamed";
}

static bool add_bath(struct request *r, const struct rack_hank *s, size_t n,
                     struct error *err)
{
    struct text *o = &r->out;
    struct pot_head p;
    long long id = (long long)s->bath_id;

    if (!id) {
        text_add(o, "<section class=\"bath\" aria-labelledby=\"bath0\">\n"
                    "<header><h2 id=\"bath0\">Not dyed</h2></header>\n");
        add_rod(o, s, n);
        text_add(o, "</section>\n");
        return true;
    }
    if (!sheet_of_pot_head(r->book, s->bath_id, &p, err))
        return false;
    html_addf(o,
              "<section class=\"bath\" aria-labelledby=\"bath%lld\">\n<header>"
              "<h2 id=\"bath%lld\"><a href=\"/bath/%-s\">%s</a></h2>\n"
              "<p><span>bath %s%s%s</span> <span>%s</span></p>\n"
              "<p class=\"go\"><a href=\"/fade?bath=%-s\">How it fades</a> "
              "<a href=\"/log?of=%-s\">Next round</a></p></header>\n",
              id, id, s->bath, p.name ? p.name : "unnamed", s->bath,
              s->on_words ? ", " : "", s->on_words, p.facts, s->bath, s->bath);
    add_rod(o, s, n);
    text_add(o, "</section>\n");
    pot_head_clear(&p);
    return true;
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

static void add_head(struct request *r, const struct rack *rack)
{
    html_addf(&r->out,
              "<div class=\"head\"><h1>The rack</h1><p>%zu bath%s, %zu "
              "skein%s, %zu measured",
              rack->baths, rack->baths == 1 ? "" : "s", rack->count,
              rack->count == 1 ? "" : "s", rack->measured);
    if (rack->in_pieces)
        html_addf(&r->out, "; %zu hang%s here in pieces", rack->in_pieces,
                  rack->in_pieces == 1 ? "s" : "");
    text_add(&r->out, "</p></div>\n");
    if (!rack->count)
        add_bare(&r->out);
}

/* What was begun at the pot and waits for the rest. */
static bool add_unfinished(struct request *r, const struct rack *rack,
                           struct error *err)
{
    const size_t n = rack->unfinished_count;
    struct ask_skeins all;

    if (!rack_skeins(r->book, rack->unfinished, n < WAITING ? n : WAITING, &all,
                     err))
        return false;
    for (size_t i = 0; i < all.count; i++) {
        const struct ask_skein *s = &all.skein[i];
        html_addf(&r->out,
                  "<p class=\"wait\"><span class=\"tag part\">%s</span> "
                  "<span><b>Unfinished:</b> <span class=\"own\">%s</span>%s"
                  "</span> <a href=\"/record/skein/%lld\">Finish it</a></p>\n",
                  s->label,
                  s->name        ? s->name
                  : s->bath_name ? s->bath_name
                                 : "no name",
                  isnan(s->weight_g)
                      ? ", no row of skeins was filled in: how many there "
                        "are, what each weighs"
                      : "",
                  (long long)s->id);
    }
    if (n > WAITING)
        html_addf(&r->out,
                  "<p class=\"wait\"><span>%zu more are unfinished.</span> <a "
                  "href=\"/find?unfinished=yes\">Find them</a></p>\n",
                  n - WAITING);
    ask_skeins_free(&all);
    return true;
}

/* Pots that are a name so far. */
static bool add_empty_baths(struct request *r, const struct rack *rack,
                            struct error *err)
{
    const size_t n = rack->bare_count;
    bool ok = true;

    for (size_t i = 0; ok && i < n && i < WAITING; i++) {
        struct text label = {0};
        struct record bath;

        ok = page_bath(r, rack->bare[i], &label, err) &&
             record_read(r->book, NOUN_BATH, rack->bare[i], &bath, err);
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
    if (ok && n > WAITING)
        html_addf(&r->out,
                  "<p class=\"wait\"><span>%zu more pots have no skein "
                  "yet.</span></p>\n",
                  n - WAITING);
    return ok;
}

/* Where a page that begins at a place ends: rods are whole, unless one is
 * longer than a page. */
static size_t page_until(const struct rack *rack, size_t first)
{
    size_t i = first, k;

    while (i < rack->count && i - first < HANKS_A_PAGE) {
        k = rack_rod(rack->place + i, rack->count - i);
        if (k > HANKS_A_PAGE) {
            if (i == first)
                i += HANKS_A_PAGE;
            break;
        }
        i += k;
    }
    return i;
}

/* On a wide screen rods with few hanks are two abreast. */
static bool add_rods(struct request *r, const struct rack_place *place,
                     const struct rack_hank *s, size_t n, struct error *err)
{
    bool abreast = false, few;

    for (size_t i = 0, k; i < n; i += k) {
        k = rack_rod(place + i, n - i);
        few = k <= FEW && place[i].bath;
        if (few != abreast)
            text_add(&r->out, few ? "<div class=\"abreast\">\n" : "</div>\n");
        abreast = few;
        if (!add_bath(r, s + i, k, err))
            return false;
    }
    text_add(&r->out, abreast ? "</div>\n" : "");
    return true;
}

static bool add_all(struct request *r, const struct rack *rack, size_t first,
                    struct error *err)
{
    const size_t next = page_until(rack, first);
    const size_t n = next > first ? next - first : 0;
    struct rack_hank *hung;
    bool ok;

    if (!first) {
        copies_remind(r, rack->count);
        if (!add_unfinished(r, rack, err) || !fastness_remind(r, err) ||
            !add_empty_baths(r, rack, err))
            return false;
    }
    if (!rack_hanks(r->book, n ? rack->place + first : NULL, n, &hung, err))
        return false;
    ok = add_rods(r, n ? rack->place + first : NULL, hung, n, err);
    rack_hanks_free(hung, n);
    if (ok && next < rack->count)
        html_addf(&r->out,
                  "<p class=\"more\"><a href=\"/?from=%zu\">Further along the "
                  "rack: %zu more</a></p>\n",
                  next, rack->count - next);
    return ok;
}

static bool send_picture(struct request *r, struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    struct ask_skeins all;

    if (!ask_skeins(r->book, &any, 0, &all, err))
        return false;
    picture_of_rack(&all, &r->out);
    ask_skeins_free(&all);
    return true;
}

bool rack_page(struct request *r, struct error *err)
{
    const char *from = pairs_get(&r->query, "from");
    const struct rack *rack;
    long long first = 0;
    bool ok;

    if (from && (!text_whole(from, &first) || first < 0))
        return error_set(err, ERR_INPUT, "\"%s\" is not a place on the rack",
                         from);
    if (narrow_picture(r, "rack"))
        return send_picture(r, err);
    rack = kept_rack(r, err);
    if (!rack)
        return false;
    page_begin(r, "The rack", "Rack");
    add_head(r, rack);
    ok = add_all(r, rack, (size_t)first, err);
    narrow_picture_link(r);
    page_end(r);
    return ok;
}
