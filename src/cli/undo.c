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

/* Records that went, or came back; parts only where nothing else did. */
struct whole {
    bool gone, parts;
};

static bool is_told(const struct history_change *c, struct whole w)
{
    return is_whole(c) && is_gone(c) == w.gone && (!is_part(c) || w.parts);
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
        text_addf(out, "  %s %s, %s: ", c->noun->name, c->label, c->what);
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
    tell_whole(list, count, (struct whole){true, parts}, &cli->out);
    tell_whole(list, count, (struct whole){false, parts}, &cli->out);
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
         history_acts(cli->book, 1, &undo, &acts, err) &&
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
