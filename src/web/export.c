/* Results handed on: which skeins, what goes with them, and the file. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/day.h"
#include "base/html.h"
#include "base/mem.h"
#include "base/random.h"
#include "book/exchange.h"
#include "book/record.h"
#include "child.h"
#include "narrow.h"
#include "page.h"
#include "sweep.h"
#include "routes.h"

struct job {
    char *book, *path; /* path NULL: only what would go */
    int64_t *skein;
    size_t skeins;
    bool all, places, plans;
};

struct gone {
    size_t count[NOUN_COUNT], along, photos, lost;
    char told[2000];
};

static void job_clear(void *job)
{
    struct job *j = job;

    free(j->book);
    free(j->path);
    free(j->skein);
    free(j);
}

/* ---- which skeins ---------------------------------------------------------
 */

static bool narrowed(struct request *r, struct job *j, struct error *err)
{
    struct ask_filter filter;
    struct ask_skeins found;

    if (!narrow_read(r, &filter, err) ||
        !ask_skeins(r->book, &filter, 0, &found, err))
        return false;
    j->skein = mem_new(found.count, sizeof *j->skein);
    for (size_t i = 0; i < found.count; i++)
        j->skein[i] = found.skein[i].id;
    j->skeins = found.count;
    ask_skeins_free(&found);
    return j->skeins || error_set(err, ERR_MISSING, "no skein is like that");
}

static bool choose(struct request *r, struct job *j, struct error *err)
{
    const char *named = pairs_get(&r->query, "skeins");

    j->book = mem_text(book_folder(r->book));
    j->places = pairs_get(&r->query, "places") != NULL;
    j->plans = pairs_get(&r->query, "plans") != NULL;
    if (named && narrow_any(r))
        return error_set(err, ERR_INPUT,
                         "say which skeins, or what they are like, not both");
    if (named)
        return record_skeins(r->book, book_dyer(r->book), named, &j->skein,
                             &j->skeins, NULL, err);
    j->all = !narrow_any(r);
    return j->all || narrowed(r, j, err);
}

/* In the child, with a connection of its own. */
static bool give(const void *from, const int *photo, void *result,
                 struct error *err)
{
    const struct job *job = from;
    const struct exchange_pick pick = {.skein = job->skein,
                                       .skeins = job->skeins,
                                       .all = job->all,
                                       .places = job->places,
                                       .plans = job->plans};
    struct gone *out = result;
    struct exchange_given given = {0};
    struct book *book;
    bool ok;

    (void)photo;
    if (!book_open(job->book, &book, err))
        return false;
    ok = exchange_give(book, job->path, &pick, &given, err);
    memcpy(out->count, given.count, sizeof out->count);
    out->along = given.along;
    out->photos = given.photos;
    out->lost = given.lost;
    snprintf(out->told, sizeof out->told, "%s", text_str(&given.told));
    exchange_given_clear(&given);
    book_close(book);
    return ok;
}

/* path: taken over. */
static bool begin(struct request *r, char *path,
                  bool (*then)(struct request *r, struct error *err),
                  struct error *err)
{
    struct job *job = mem_new(1, sizeof *job);

    *job = (struct job){.path = path};
    r->job = job;
    r->job_clear = job_clear;
    return choose(r, job, err) &&
           child_start(r,
                       &(struct child_task){.work = give,
                                            .job = job,
                                            .size = sizeof(struct gone),
                                            .ours = true},
                       then, err);
}

/* ---- the page -------------------------------------------------------------
 */

static void add_tick(struct request *r, const char *name, const char *label)
{
    html_addf(&r->out,
              "<p class=\"tick\"><input type=\"checkbox\" id=\"%s\" "
              "name=\"%s\" value=\"yes\"%s><label for=\"%s\">%s</label></p>\n",
              name, name, pairs_get(&r->query, name) ? " checked" : "", name,
              label);
}

static void add_form(struct request *r)
{
    struct text *o = &r->out;

    text_add(o, "<form method=\"get\" action=\"/export\" class=\"log one\">\n"
                "<p class=\"f\"><label for=\"skeins\">Skeins</label>");
    html_addf(o,
              "<input id=\"skeins\" name=\"skeins\" value=\"%s\" "
              "placeholder=\"all of the book\" aria-describedby=\"h-skeins\" "
              "autocomplete=\"off\"></p>\n<p class=\"echo\" id=\"h-skeins\">"
              "1-6, 12, A3; or say below what they are like</p>\n",
              pairs_get(&r->query, "skeins"));
    narrow_fields(r);
    add_tick(r, "places", "With the places where things were gathered");
    add_tick(r, "plans", "With the projects, their colours and steps");
    text_add(o, "<p class=\"acts\"><button type=\"submit\">Look what "
                "goes</button></p>\n</form>\n");
}

/* Who never said her name is "me" to everybody. */
static void add_whose(struct request *r)
{
    struct text name = {0};
    struct error err;

    if (record_label(r->book, NOUN_DYER, book_dyer(r->book), &name, &err) &&
        !strcmp(text_str(&name), BOOK_NAMELESS))
        html_addf(&r->out,
                  "<div class=\"say plain\"><b>They go as skeins of %s</b>In "
                  "another book yours would be %s/1. <a "
                  "href=\"/record/dyer/%lld\">Say your name first</a></div>\n",
                  text_str(&name), text_str(&name),
                  (long long)book_dyer(r->book));
    text_clear(&name);
}

/* "24 skeins", "3 baths"; and the link with the same choice. */
static void add_gone(struct request *r, const struct gone *g)
{
    static const enum noun_id told[] = {NOUN_SKEIN,  NOUN_BATH,   NOUN_READING,
                                        NOUN_FIBRE,  NOUN_SUPPLY, NOUN_TEST,
                                        NOUN_PROJECT};
    struct text *o = &r->out, to = {0};

    text_add(o, "<h2>What goes</h2>\n<ul class=\"goes\">\n");
    for (size_t i = 0; i < ARRAY_LEN(told); i++)
        if (g->count[told[i]])
            html_addf(o, "<li><b>%zu</b> %s</li>\n", g->count[told[i]],
                      g->count[told[i]] == 1 ? nouns[told[i]].name
                                             : nouns[told[i]].plural);
    html_addf(o, "<li><b>%zu</b> photo%s</li>\n</ul>\n", g->photos,
              g->photos == 1 ? "" : "s");
    if (g->along)
        html_addf(o,
                  "<p>%zu of the skeins come along, for they shared a pot or "
                  "were cut or plied: amounts are wrong without them.</p>\n",
                  g->along);
    if (g->lost)
        html_addf(o,
                  "<div class=\"say\"><b>%zu photo%s cannot be read and stay%s "
                  "out</b>%s</div>\n",
                  g->lost, g->lost == 1 ? "" : "s", g->lost == 1 ? "s" : "",
                  g->told);
    add_whose(r);
    text_add(o, ((const struct job *)r->job)->places
                    ? "<p>The places where things were gathered are in it.</p>"
                    : "<p>The places where things were gathered stay here; "
                      "notes go as they are.</p>");
    narrow_address(r, NULL, &to);
    html_addf(o,
              "<p class=\"acts\"><a class=\"btn main\" href=\"/export/"
              "hanklab.zip%s\">Save the file</a></p>\n",
              strchr(text_str(&to), '?') ? strchr(text_str(&to), '?') : "");
    text_clear(&to);
}

static bool show(struct request *r, const struct gone *g,
                 const struct error *why)
{
    page_begin(r, "Hand on", NULL);
    page_style(r, "exchange.css");
    text_add(&r->out,
             "<div class=\"head\"><h1>Hand on</h1><p>One file for another "
             "dyer: any browser shows it, and she can take it into her own "
             "book. Results stay yours there. Photos go without the place, the "
             "owner and the numbers of the camera.</p></div>\n");
    if (why)
        html_addf(&r->out,
                  "<div class=\"say\" role=\"alert\"><b>That cannot go</b>%s"
                  "</div>\n",
                  why->text);
    add_form(r);
    narrow_chips(r);
    if (g)
        add_gone(r, g);
    page_end(r);
    return true;
}

static bool looked(struct request *r, struct error *err)
{
    struct error why;
    const struct gone *g = child_result(r->child, &why);

    (void)err;
    return show(r, g, g ? NULL : &why);
}

bool export_page(struct request *r, struct error *err)
{
    struct error why;

    (void)err;
    return begin(r, NULL, looked, &why) || show(r, NULL, &why);
}

/* ---- the file -------------------------------------------------------------
 */

static bool made(struct request *r, struct error *err)
{
    struct job *job = r->job;
    char today[11];

    if (!child_result(r->child, err))
        return false;
    r->file = job->path;
    job->path = NULL;
    r->passing = true;
    r->type = "application/zip";
    day_iso(day_today(), today);
    snprintf(r->save_as, sizeof r->save_as, "hanklab-%s.zip", today);
    return true;
}

bool export_send(struct request *r, struct error *err)
{
    unsigned char bytes[16];
    char name[33];
    struct text path = {0};

    if (strcmp(request_part(r, "/export/"), "hanklab.zip") != 0)
        return error_set(err, ERR_MISSING, "there is no such page");
    if (!random_fill(bytes, sizeof bytes, err))
        return false;
    hex_of(bytes, sizeof bytes, name);
    sweep_cache(r->book);
    text_addf(&path, "%s/cache/" SWEEP_GOING "%s", book_folder(r->book), name);
    return begin(r, text_take(&path), made, err);
}
