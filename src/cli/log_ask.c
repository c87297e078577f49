/*
 * hanklab log on a terminal: question by question, in the order of the day.
 * Every answer may be left out, every one is read at once by a trial of the
 * whole entry (nothing is stored), so that questions and options cannot
 * understand the same words differently.
 */
#include "cli/log.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/record.h"
#include "dye/caution.h"
#include "dye/substance.h"

struct talk {
    struct cli *cli;
    struct pot_entry *pot;
    char **answer; /* owned until the talk ends */
    size_t answers;
    struct text echo; /* of the last trial that went well */
    char **shown;     /* notes and cautions, once each; owned */
    size_t shown_count;
    size_t described; /* skeins so far */
    bool vat;
    bool ended; /* the other side has gone */
};

/* ---- asking -----------------------------------------------------------------
 */

static const char *keep_answer(struct talk *t, char *owned)
{
    t->answer = mem_resize(t->answer, t->answers + 1, sizeof *t->answer);
    return t->answer[t->answers++] = owned;
}

/* Shows a prompt and reads a line, blanks cut off. False at the end of input
 * or when the prompt cannot be written. */
static bool ask_line(struct talk *t, const char *prompt, const char **out,
                     struct error *err)
{
    char *line = NULL;
    size_t room = 0;
    ssize_t n;

    *out = "";
    text_addf(&t->cli->out, "%s ", prompt);
    if (!cli_flush(t->cli, err))
        return false;
    n = getline(&line, &room, stdin);
    if (n < 0) {
        free(line);
        t->ended = true;
        return error_set(err, ERR_INPUT,
                         "the questions were broken off: nothing was kept");
    }
    *out = keep_answer(t, text_trim(line));
    free(line);
    return true;
}

/* The same, but answers "?" with help and asks again. */
static bool ask(struct talk *t, const char *prompt, const char *help,
                const char **out, struct error *err)
{
    do {
        if (!ask_line(t, prompt, out, err))
            return false;
        if (!strcmp(*out, "?"))
            text_addf(&t->cli->out, "  %s\n", help);
    } while (!strcmp(*out, "?"));
    return true;
}

static bool is_no(const char *s)
{
    return text_same(s, "no") || text_same(s, "n") || text_same(s, "-");
}

/*
 * The same for what sounds like a question for yes or no: "yes" is asked what
 * it was, "no" becomes what it means here.
 */
static bool ask_what(struct talk *t, const char *prompt, const char *help,
                     const char *no, const char **out, struct error *err)
{
    for (;;) {
        if (!ask(t, prompt, help, out, err))
            return false;
        if (is_no(*out) || text_same(*out, "none") ||
            text_same(*out, "nothing"))
            *out = no;
        if (!text_same(*out, "yes") && !text_same(*out, "y"))
            return true;
        text_add(&t->cli->out, "  Say which, or how much; ? explains it.\n");
    }
}

/* ---- trying -----------------------------------------------------------------
 */

static bool has_line(const char *text, const char *line, size_t n)
{
    for (const char *s = text; *s;) {
        size_t len = strcspn(s, "\n");
        if (len == n && !strncmp(s, line, n))
            return true;
        s += len + (s[len] == '\n');
    }
    return false;
}

static void show_new_lines(struct talk *t, const struct text *echo)
{
    for (const char *s = text_str(echo); *s;) {
        size_t n = strcspn(s, "\n");
        if (!has_line(text_str(&t->echo), s, n))
            text_addf(&t->cli->out, "  %.*s\n", (int)n, s);
        s += n + (s[n] == '\n');
    }
}

/* Shows lines that were not shown before; whether there was one. */
static bool show_once(struct talk *t, char *const *line, size_t count)
{
    bool any = false;

    for (size_t i = 0; i < count; i++) {
        bool known = false;
        for (size_t k = 0; !known && k < t->shown_count; k++)
            known = !strcmp(t->shown[k], line[i]);
        if (known)
            continue;
        text_addf(&t->cli->out, "  %s\n", line[i]);
        t->shown = mem_resize(t->shown, t->shown_count + 1, sizeof *t->shown);
        t->shown[t->shown_count++] = mem_text(line[i]);
        any = true;
    }
    return any;
}

/* Reads the whole entry so far and stores nothing: shows what is new in it, or
 * why it will not do. */
static bool try_it(struct talk *t, struct pot_result *out)
{
    struct pot_result result = {0};
    struct text echo = {0};
    struct error why;
    bool ok;

    t->pot->only_try = true;
    ok = pot_log(t->cli->book, t->pot, &result, &echo, &why);
    t->pot->only_try = false;
    if (ok) {
        show_new_lines(t, &echo);
        show_once(t, result.note, result.notes);
        if (show_once(t, result.caution, result.cautions))
            text_addf(&t->cli->out, "  %s\n", caution_closing);
        text_clear(&t->echo);
        t->echo = echo;
    } else {
        text_addf(&t->cli->out, "  %s\n", why.text);
        text_clear(&echo);
    }
    if (ok && out)
        *out = result;
    else
        pot_result_clear(&result);
    return ok;
}

/* One value: asked until it will do or is left out. */
static bool ask_value(struct talk *t, const char *prompt, const char *help,
                      const char **slot, struct error *err)
{
    bool yes_or_no = slot == &t->pot->cooled;
    const char *answer;

    if (*slot)
        return true; /* an option said it */
    for (;;) {
        if (!(yes_or_no ? ask(t, prompt, help, &answer, err)
                        : ask_what(t, prompt, help, "", &answer, err)))
            return false;
        if (!*answer)
            return true;
        *slot = answer;
        if (try_it(t, NULL))
            return true;
        *slot = NULL;
    }
}

static void push(struct pot_words *list, const char *word)
{
    const char **all =
        mem_resize((void *)list->word, list->count + 1, sizeof *all);

    all[list->count++] = word;
    list->word = all;
}

/* Values until one is left out. */
static bool ask_values(struct talk *t, const char *prompt, const char *more,
                       const char *help, struct pot_words *list,
                       struct error *err)
{
    const char *answer, *no = list == &t->pot->mordants ? "none" : "";

    if (list->count)
        return true;
    for (;; no = "") {
        if (!ask_what(t, list->count ? more : prompt, help, no, &answer, err))
            return false;
        if (!*answer)
            return true;
        push(list, answer);
        if (!try_it(t, NULL))
            list->count--;
        else if (text_same(answer, "none"))
            return true;
    }
}

/* ---- the pot ----------------------------------------------------------------
 */

static bool ask_old_pot(struct talk *t, const char *answer, int64_t id,
                        struct error *err)
{
    struct text label = {0}, prompt = {0};
    const char *yes = "";
    bool ok = record_label(t->cli->book, NOUN_BATH, id, &label, err);

    text_addf(&prompt, "Bath %s is in the book. Add to it? [yes]",
              text_str(&label));
    ok = ok && ask(t, text_str(&prompt),
                   "yes: its next round, or another one. no: a new pot that "
                   "is called so too.",
                   &yes, err);
    if (ok && is_no(yes))
        t->pot->name = answer;
    else if (ok)
        t->pot->of = answer;
    text_clear(&label);
    text_clear(&prompt);
    return ok;
}

/* Whether the pot that an option named will do. */
static bool find_pot(struct talk *t, struct error *err)
{
    struct pot_result r;
    bool ok;

    t->pot->only_try = true;
    ok = pot_log(t->cli->book, t->pot, &r, NULL, err);
    t->pot->only_try = false;
    if (ok)
        pot_result_clear(&r);
    return ok;
}

static bool ask_pot(struct talk *t, struct error *err)
{
    static const char help[] =
        "A name for a new pot, such as \"madder, big kettle\"; or the number "
        "or name of one in the book, for an exhaust of it.";
    const char *answer;
    struct error none;
    int64_t id;

    if (t->pot->of)
        return find_pot(t, err);
    while (!t->pot->name && !t->pot->of) {
        if (!ask(t, "What do you call the pot?", help, &answer, err))
            return false;
        if (!*answer) {
            text_add(&t->cli->out,
                     "  A name is the one thing it needs; Ctrl-D stops.\n");
            continue;
        }
        if (!record_find(t->cli->book, NOUN_BATH, answer, &id, &none))
            t->pot->name = answer;
        else if (!ask_old_pot(t, answer, id, err))
            return false;
        if (!try_it(t, NULL))
            t->pot->name = t->pot->of = NULL;
    }
    return true;
}

static bool ask_round(struct talk *t, struct error *err)
{
    struct pot_result r = {0};
    struct text prompt = {0};
    bool ok;

    if (t->pot->name && !t->pot->kind &&
        !ask_value(t, "Dye bath or vat? [dye]",
                   "vat: an indigo or woad vat, which has no exhausts.",
                   &t->pot->kind, err))
        return false;
    if (!try_it(t, &r))
        return true; /* it has said why */
    t->vat = r.round < 0;
    if (t->vat || t->pot->round) {
        pot_result_clear(&r);
        return true;
    }
    text_add(&prompt, "Which round? [");
    log_round_words(&r, &prompt);
    text_add(&prompt, "]");
    ok = ask_value(t, text_str(&prompt),
                   "first: the fresh liquor. exhaust 1, exhaust 2 ...: later "
                   "skeins in the same liquor, any number of times; an "
                   "earlier round may be missing from the book.",
                   &t->pot->round, err);
    text_clear(&prompt);
    pot_result_clear(&r);
    return ok;
}

/* ---- the skeins -------------------------------------------------------------
 */

/* Takes the answer as the next skein; false leaves the pot as it was. */
static bool take_skein(struct talk *t, const char *answer)
{
    struct pot_skein *all =
        mem_resize((void *)t->pot->skein, t->pot->skein_count + 1, sizeof *all);
    struct pot_result r = {0};
    struct error why;

    t->pot->skein = all;
    if (!pot_skein_read(answer, &all[t->pot->skein_count], &why)) {
        text_addf(&t->cli->out, "  %s\n", why.text);
        return false;
    }
    t->pot->skein_count++;
    if (try_it(t, &r)) {
        for (; t->described < r.described; t->described++) {
            const struct pot_result_skein *s = &r.skein[t->described];
            text_addf(&t->cli->out, "  skein %s, %s\n", s->label,
                      s->is_new ? "new" : "in the book");
        }
        pot_result_clear(&r);
        return true;
    }
    pot_skein_clear(&all[--t->pot->skein_count]);
    return false;
}

static bool ask_each_skein(struct talk *t, long long count, struct error *err)
{
    static const char help[] =
        "Number of a skein in the book (137), dry weight of a new one (20 g), "
        "or both and more: \"20 g; code=A3; mordant=iron: 2 %\". Enter: a new "
        "one, nothing known yet. \"same\": as the one before. \".\": no more "
        "questions about skeins.";
    const char *answer, *before = "";
    char prompt[64];

    while ((long long)t->described < count) {
        snprintf(prompt, sizeof prompt, "Skein %zu of %lld?", t->described + 1,
                 count);
        if (!ask(t, prompt, help, &answer, err))
            return false;
        if (!strcmp(answer, "."))
            return true;
        if (text_same(answer, "same"))
            answer = before;
        if (take_skein(t, answer))
            before = answer;
    }
    return true;
}

static bool ask_skeins(struct talk *t, struct error *err)
{
    long long count = 0;

    if (t->pot->skein_count || t->pot->skeins)
        return true;
    if (!ask_value(t, "How many skeins?",
                   "All that were in the pot this time, new ones and ones in "
                   "the book.",
                   &t->pot->skeins, err))
        return false;
    if (!t->pot->skeins || !text_whole(t->pot->skeins, &count) || !count)
        return true;
    return ask_value(t, "Which yarn?",
                     "The name of the yarn of the new skeins, if it is one "
                     "for all.",
                     &t->pot->fibre, err) &&
           ask_each_skein(t, count, err);
}

/* ---- the day ----------------------------------------------------------------
 */

#define DOSE                                                                   \
    "A name, or a name and how much, \"alum: 12 %\": 12 % of the dry fibre, "  \
    "9 g, 1/4 oz, 2:1 (dyestuff to fibre), 20 ml, or words: a handful."

/* Whether it was said that there was no skein: nothing to mordant or dip. */
static bool no_skein(const struct talk *t)
{
    long long n;

    return t->pot->skeins && text_whole(t->pot->skeins, &n) && n == 0;
}

static bool ask_mordants(struct talk *t, struct error *err)
{
    return no_skein(t) ||
           (ask_values(t, "Mordant?", "Another mordant?",
                       DOSE " \"none\": no mordant, on purpose. Skeins in the "
                            "book keep the mordant they have.",
                       &t->pot->mordants, err) &&
            (!t->pot->mordants.count ||
             text_same(t->pot->mordants.word[0], "none") ||
             ask_values(t, "With what to assist it?", "Another assist?",
                        "Cream of tartar or the like, with the mordant. " DOSE,
                        &t->pot->assists, err)));
}

static bool ask_dyestuffs(struct talk *t, struct error *err)
{
    struct pot_result r = {0};
    bool exhaust = t->pot->of && try_it(t, &r) && r.round > 0;

    pot_result_clear(&r);
    if (!ask_values(t,
                    exhaust ? "Dyestuff added before this round? [none]"
                            : "Dyestuff?",
                    "Another dyestuff?", DOSE, &t->pot->dyestuffs, err))
        return false;
    return exhaust || ask_value(t, "How was the colour drawn out?",
                                "Time, and more behind semicolons: \"1 h; "
                                "temperature=80; pulls=2; straining=bagged\".",
                                &t->pot->extraction, err);
}

/* One dose that is an acid or an alkali by its name. */
static bool ask_shift(struct talk *t, struct error *err)
{
    const char *answer, *kind;
    char *name;
    struct pot_words *list;

    if (t->pot->acids.count || t->pot->alkalis.count)
        return true;
    for (;;) {
        if (!ask_what(t, "Anything in it to change the pH?",
                      "Vinegar, chalk, soda ... " DOSE, "", &answer, err))
            return false;
        if (!*answer)
            return true;
        name = mem_text_n(answer, strcspn(answer, ":;"));
        kind = substance_kind(name);
        free(name);
        list =
            kind && !strcmp(kind, "acid") ? &t->pot->acids : &t->pot->alkalis;
        push(list, answer);
        if (!try_it(t, NULL))
            list->count--;
    }
}

static bool ask_heat(struct talk *t, struct error *err)
{
    struct pot_entry *p = t->pot;
    bool vat = t->vat;

    return ask_value(t, "Which water?", "Its name: tap, rain, well ...",
                     &p->water, err) &&
           ask_value(t, "How much liquor?", "3 l, 1 gallon, 2 buckets.",
                     &p->volume, err) &&
           ask_value(t, "In which vessel?", "Pot, jar in a water bath ...",
                     &p->vessel, err) &&
           ask_shift(t, err) &&
           ask_value(t, "pH?",
                     "7, 7-8, about 9, 5 -> 9, \"6.5 meter\"; or in words.",
                     &p->ph, err) &&
           ask_value(t, "Highest temperature?", "80, 180 F, hand-warm.",
                     &p->temperature, err) &&
           ask_value(t, "How long at that heat?", "45, 1 h, overnight.",
                     &p->minutes, err) &&
           (!vat || (ask_value(t, "How many dips?", "A whole number.",
                               &p->vat_dips, err) &&
                     ask_value(t, "How long in the air between them?",
                               "15 min.", &p->airing, err))) &&
           (vat || ask_value(t, "Did it cool in the bath?", "yes or no.",
                             &p->cooled, err));
}

static bool ask_all(struct talk *t, struct error *err)
{
    struct pot_entry *p = t->pot;

    text_add(&t->cli->out,
             "Enter leaves a question out, ? explains it, Ctrl-D goes to the "
             "end.\n");
    return ask_pot(t, err) && ask_round(t, err) &&
           ask_value(t, "When?",
                     "2026-05-03, 3 May 2026, today, yesterday, summer 2019, "
                     "?/10/23.",
                     &p->on, err) &&
           ask_skeins(t, err) && ask_mordants(t, err) &&
           ask_dyestuffs(t, err) && ask_heat(t, err) &&
           (no_skein(t) ||
            ask_values(t, "A dip after dyeing?", "Another dip?",
                       "Iron, copper, soda, vinegar ... for all skeins; one "
                       "skein's own is said with it: \"dip=iron: 2 %\". " DOSE,
                       &p->dips, err)) &&
           ask_value(t, "Anything else?", "A note on this round.", &p->note,
                     err);
}

/* ---- the end ----------------------------------------------------------------
 */

/* What was typed and needed no explaining. */
static void show_plain(struct talk *t)
{
    const struct pot_entry *p = t->pot;
    const struct {
        const char *name, *words;
    } all[] = {{"date", p->on},
               {"water", p->water},
               {"volume", p->volume},
               {"vessel", p->vessel},
               {"ph", p->ph},
               {"temperature", p->temperature},
               {"minutes", p->minutes},
               {"cooled in the bath", p->cooled},
               {"extraction", p->extraction},
               {"dips", p->vat_dips},
               {"airing", p->airing},
               {"fibre", p->fibre},
               {"note", p->note}};

    for (size_t i = 0; i < ARRAY_LEN(all); i++) {
        struct text start = {0};
        if (!all[i].words || !*all[i].words)
            continue;
        text_addf(&start, "%s: ", all[i].name);
        if (!strstr(text_str(&t->echo), text_str(&start)))
            text_addf(&t->cli->out, "  %s%s\n", text_str(&start), all[i].words);
        text_clear(&start);
    }
}

/* Shows all of it; whether it would do. */
static bool show_all(struct talk *t)
{
    struct pot_result r = {0};

    text_clear(&t->echo); /* so that all of it is shown again */
    text_add(&t->cli->out, "\nTogether:\n");
    if (!try_it(t, &r))
        return false;
    show_plain(t);
    text_add(&t->cli->out, "  ");
    log_sum_up(t->pot, &r, &t->cli->out);
    text_add(&t->cli->out, "\n");
    pot_result_clear(&r);
    return true;
}

/* Asked again while the book is busy or the disk full: it was much to type. */
static bool keep_it(struct talk *t, struct error *err)
{
    struct pot_result r = {0};
    struct error why;
    const char *answer;
    bool fits;

    do {
        fits = show_all(t);
        if (!ask(t, fits ? "Keep it? [yes]" : "Try again? [yes]",
                 "yes writes it into the book. no: nothing is kept.", &answer,
                 err))
            return false;
        if (is_no(answer)) {
            text_add(&t->cli->out, "Nothing was kept.\n");
            return true;
        }
        if (fits && !pot_log(t->cli->book, t->pot, &r, NULL, &why)) {
            text_addf(&t->cli->out, "  %s\n", why.text);
            fits = false;
        }
    } while (!fits);
    text_add(&t->cli->out, "Kept: ");
    log_sum_up(t->pot, &r, &t->cli->out);
    text_add(&t->cli->out, ".\n");
    pot_result_clear(&r);
    return true;
}

bool log_ask(struct cli *cli, struct pot_entry *pot, struct error *err)
{
    struct talk t = {.cli = cli, .pot = pot};
    bool ok = ask_all(&t, err);

    if (t.ended && (pot->name || pot->of)) { /* what was said is kept */
        t.ended = false;
        clearerr(stdin);
        ok = true;
    }
    ok = ok && keep_it(&t, err);
    for (size_t i = 0; i < t.answers; i++)
        free(t.answer[i]);
    for (size_t i = 0; i < t.shown_count; i++)
        free(t.shown[i]);
    free(t.answer);
    free(t.shown);
    text_clear(&t.echo);
    if (t.ended)
        text_add(&cli->out, "\n");
    return ok;
}
