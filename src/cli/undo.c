/* hanklab undo: takes the last act back, or a named one. */
#include "cli/commands.h"

#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "book/history.h"
#include "book/pot.h"
#include "cli/sheet.h"

/* What a pot is made of goes with it and is not told one by one. */
static bool is_part(const struct history_change *c)
{
    switch (c->noun->id) {
    case NOUN_TREATMENT:
    case NOUN_ENTRY:
    case NOUN_DOSE:
    case NOUN_PH:
    case NOUN_EXTRACTION:
    case NOUN_SIGHT:
    case NOUN_REGION:
    case NOUN_WISH:
    case NOUN_TASK:
        return true;
    case NOUN_DYER:
    case NOUN_MATERIAL:
    case NOUN_ALIAS:
    case NOUN_SUPPLY:
    case NOUN_FIBRE:
    case NOUN_WATER:
    case NOUN_SKEIN:
    case NOUN_ORIGIN:
    case NOUN_BATH:
    case NOUN_POUR:
    case NOUN_PHOTO:
    case NOUN_CARD:
    case NOUN_CAMERA:
    case NOUN_READING:
    case NOUN_TEST:
    case NOUN_PROJECT:
    case NOUN_COUNT:
        return false;
    }
    return false;
}

/* Whether the undone change made a record, hid it, or brought it back. */
static bool is_whole(const struct history_change *c)
{
    return c->noun && (!c->field || !strcmp(c->field, "withdrawn"));
}

static bool is_gone(const struct history_change *c)
{
    return !c->field || !strcmp(c->was, "yes");
}

/* Records that went, or came back; parts only where nothing else did,
 * what was done to skeins by tell_steps. */
struct whole {
    bool gone, parts;
};

static bool is_told(const struct history_change *c, struct whole w)
{
    return is_whole(c) && c->noun->id != NOUN_ENTRY && is_gone(c) == w.gone &&
           (!is_part(c) || w.parts);
}

/* "skein 1", "skeins 1 to 3": one noun's, which are told from i on; where the
 * next noun begins. */
static size_t tell_noun(const struct history_change *list, size_t count,
                        size_t i, struct whole w, struct text *out)
{
    const struct noun *noun = list[i].noun;
    const char **label = NULL;
    size_t n = 0;

    for (; i < count; i++) {
        if (!is_told(&list[i], w))
            continue;
        if (list[i].noun != noun)
            break;
        label = mem_room(label, n, sizeof *label);
        label[n++] = list[i].label;
    }
    text_addf(out, "%s ", n > 1 ? noun->plural : noun->name);
    pot_labels(label, n, out);
    free(label);
    return i;
}

/* "  withdrawn: bath 1 kettle, skeins 1, 2"; nothing when there are none. */
static void tell_whole(const struct history_change *list, size_t count,
                       struct whole w, struct text *out)
{
    const char *before = w.gone ? "  withdrawn: " : "  brought back: ";
    bool any = false;

    for (size_t i = 0; i < count;) {
        if (!is_told(&list[i], w)) {
            i++;
            continue;
        }
        text_add(out, any ? ", " : before);
        any = true;
        i = tell_noun(list, count, i, w, out);
    }
    text_add(out, any ? "\n" : "");
}

/* Records that went or came back, in order, for looking up. */
struct wholes {
    const struct history_change **of;
    size_t count;
    const char **skein; /* their labels */
    size_t skeins;
};

static int by_record(const void *x, const void *y)
{
    const struct history_change *const *a = x, *const *b = y;

    if ((*a)->noun != (*b)->noun)
        return (*a)->noun < (*b)->noun ? -1 : 1;
    return ((*a)->record > (*b)->record) - ((*a)->record < (*b)->record);
}

static int by_label(const void *x, const void *y)
{
    return strcmp(*(const char *const *)x, *(const char *const *)y);
}

static struct wholes wholes_of(const struct history_change *list, size_t count)
{
    struct wholes w = {.of = mem_new(count, sizeof *w.of),
                       .skein = mem_new(count, sizeof *w.skein)};

    for (size_t i = 0; i < count; i++) {
        if (!is_whole(&list[i]))
            continue;
        w.of[w.count++] = &list[i];
        if (list[i].noun->id == NOUN_SKEIN)
            w.skein[w.skeins++] = list[i].label;
    }
    qsort(w.of, w.count, sizeof *w.of, by_record);
    qsort(w.skein, w.skeins, sizeof *w.skein, by_label);
    return w;
}

/* "#5 dip of skein 11": where the skein is named, and where the step is; NULL
 * unless such a step went or came back of a skein that stays. */
static const char *step_of(const struct wholes *w,
                           const struct history_change *c, bool gone,
                           const char **step)
{
    static const char of[] = " of skein ";
    const char *at, *space;

    if (!is_whole(c) || c->noun->id != NOUN_ENTRY || is_gone(c) != gone)
        return NULL;
    at = strstr(c->label, of);
    space = strchr(c->label, ' ');
    if (!at || !space)
        return NULL;
    at += strlen(of);
    *step = space + 1;
    return bsearch(&at, w->skein, w->skeins, sizeof at, by_label) ? NULL : at;
}

/* "  withdrawn: dip of skein 11", "  withdrawn: wash of skeins 2, 4, 5" */
static void tell_steps(const struct wholes *w,
                       const struct history_change *list, size_t count,
                       bool gone, struct text *out)
{
    const char *before = NULL, *step, *skein;
    struct text skeins = {0};
    size_t n = 0;

    for (size_t i = 0; i <= count; i++) {
        skein = i < count ? step_of(w, &list[i], gone, &step) : NULL;
        if (i < count && !skein)
            continue;
        if (before && (!skein || strncmp(before, step,
                                         (size_t)(strstr(step, " of skein ") -
                                                  step)) != 0)) {
            text_addf(out, "  %s: %.*s of skein%s %s\n",
                      gone ? "withdrawn" : "brought back",
                      (int)(strstr(before, " of skein ") - before), before,
                      n > 1 ? "s" : "", text_str(&skeins));
            text_reset(&skeins);
            n = 0;
        }
        before = skein ? step : NULL;
        if (skein)
            text_addf(&skeins, "%s%s", n++ ? ", " : "", skein);
    }
    text_clear(&skeins);
}

static void tell_fields(const struct wholes *w,
                        const struct history_change *list, size_t count,
                        struct text *out)
{
    for (size_t i = 0; i < count; i++) {
        const struct history_change *c = &list[i];
        if (!c->noun || !c->what ||
            bsearch(&c, w->of, w->count, sizeof c, by_record))
            continue;
        text_add(out, "  ");
        record_said(c->noun, c->label, out);
        text_addf(out, ", %s: ", c->what);
        if (c->was)
            text_addf(out, "\"%s\" again\n", c->was);
        else
            text_add(out, "not recorded, as before\n");
    }
}

static void tell(struct cli *cli, const struct history_act *undo,
                 const struct history_change *list, size_t count)
{
    struct wholes w;
    bool parts = true;

    if (cli->json) {
        struct json j = json_to(&cli->out);
        json_add_object(&j, NULL);
        json_add_whole(&j, "undone", undo->undoes);
        json_add_whole(&j, "act", undo->id);
        show_changes_json(list, count, "changes", &j);
        json_end(&j);
        return;
    }
    if (cli->csv) {
        show_changes_table(cli, list, count);
        return;
    }
    w = wholes_of(list, count);
    for (size_t i = 0; i < w.count; i++)
        parts = parts && is_part(w.of[i]);
    text_addf(&cli->out, "Act %lld is undone:\n", (long long)undo->undoes);
    for (int gone = 1; gone >= 0; gone--) {
        tell_whole(list, count, (struct whole){gone, parts}, &cli->out);
        tell_steps(&w, list, count, gone, &cli->out);
    }
    tell_fields(&w, list, count, &cli->out);
    free(w.of);
    free(w.skein);
    text_addf(&cli->out, "Not meant? hanklab undo %lld\n", (long long)undo->id);
}

static bool run(struct cli *cli, struct error *err)
{
    long long act = 0;
    int64_t done;
    struct history_act *undo = NULL;
    struct history_change *changes = NULL;
    size_t count = 0, acts = 0;
    bool ok;

    if (cli->word_count && (!text_whole(cli->word[0], &act) || act < 1))
        return error_set(err, ERR_INPUT,
                         "\"%s\" is not the number of an act; see "
                         "\"hanklab history\"",
                         cli->word[0]);
    ok = cli_book(cli, err) && history_undo(cli->book, act, &done, err) &&
         history_acts(cli->book, 0, 1, &undo, &acts, err) &&
         history_changes(cli->book, done, NULL, 0, &changes, &count, err);
    if (ok && acts)
        tell(cli, &undo[0], changes, count);
    history_changes_free(changes, count);
    history_acts_free(undo, acts);
    return ok;
}

const struct cli_command command_undo = {
    "undo",
    "[ACT]",
    "take the last act back, or the one with that number",
    "Undoing is an act too, so it can be undone. An act whose records were\n"
    "changed or used later is refused; undo the later one first.",
    NULL,
    0,
    0,
    1,
    run,
};
