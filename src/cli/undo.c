/* hanklab undo: takes the last act back, or a named one. */
#include "cli/commands.h"

#include <string.h>

#include "base/mem.h"
#include "book/history.h"
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

/* "  withdrawn: bath 1 kettle, skeins 1, 2"; nothing when there are none. */
static void tell_whole(const struct history_change *list, size_t count,
                       struct whole w, struct text *out)
{
    const struct noun *before = NULL;

    for (size_t i = 0; i < count; i++) {
        const struct history_change *c = &list[i];
        size_t next = i + 1;
        if (!is_told(c, w))
            continue;
        while (next < count && !is_told(&list[next], w))
            next++;
        text_add(out, before   ? ", "
                      : w.gone ? "  withdrawn: "
                               : "  brought back: ");
        if (c->noun != before)
            text_addf(out, "%s ",
                      next < count && list[next].noun == c->noun
                          ? c->noun->plural
                          : c->noun->name);
        text_add(out, c->label);
        before = c->noun;
    }
    text_add(out, before ? "\n" : "");
}

/* Whether a skein of that label went or came back with the same undo. */
static bool has_skein(const struct history_change *list, size_t count,
                      const char *label)
{
    for (size_t i = 0; i < count; i++)
        if (is_whole(&list[i]) && list[i].noun->id == NOUN_SKEIN &&
            !strcmp(list[i].label, label))
            return true;
    return false;
}

/* "#5 dip of skein 11": where the skein is named, and where the step is; NULL
 * unless such a step went or came back of a skein that stays. */
static const char *step_of(const struct history_change *list, size_t count,
                           const struct history_change *c, bool gone,
                           const char **step)
{
    static const char of[] = " of skein ";
    const char *at, *space;

    if (!is_whole(c) || c->noun->id != NOUN_ENTRY || is_gone(c) != gone)
        return NULL;
    at = strstr(c->label, of);
    space = strchr(c->label, ' ');
    if (!at || !space || has_skein(list, count, at + strlen(of)))
        return NULL;
    *step = space + 1;
    return at + strlen(of);
}

/* "  withdrawn: dip of skein 11", "  withdrawn: wash of skeins 2, 4, 5" */
static void tell_steps(const struct history_change *list, size_t count,
                       bool gone, struct text *out)
{
    const char *before = NULL, *step, *skein;
    struct text skeins = {0};
    size_t n = 0;

    for (size_t i = 0; i <= count; i++) {
        skein = i < count ? step_of(list, count, &list[i], gone, &step) : NULL;
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

/* Whether the record of a change went or came back with the same undo. */
static bool is_of_whole(const struct history_change *list, size_t count,
                        const struct history_change *c)
{
    for (size_t i = 0; i < count; i++)
        if (is_whole(&list[i]) && list[i].noun == c->noun &&
            list[i].record == c->record)
            return true;
    return false;
}

static void tell_fields(const struct history_change *list, size_t count,
                        struct text *out)
{
    for (size_t i = 0; i < count; i++) {
        const struct history_change *c = &list[i];
        if (!c->noun || !c->what || is_of_whole(list, count, c))
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
    for (size_t i = 0; i < count; i++)
        if (is_whole(&list[i]) && !is_part(&list[i]))
            parts = false;
    text_addf(&cli->out, "Act %lld is undone:\n", (long long)undo->undoes);
    for (int gone = 1; gone >= 0; gone--) {
        tell_whole(list, count, (struct whole){gone, parts}, &cli->out);
        tell_steps(list, count, gone, &cli->out);
    }
    tell_fields(list, count, &cli->out);
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
