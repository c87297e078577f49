/* hanklab history: what was done, and the past of one record. */
#include "cli/commands.h"

#include <stdio.h>
#include <stdlib.h>
#include <stdint.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"
#include "book/history.h"
#include "cli/sheet.h"
#include "draw/terminal.h"

static void act_row(struct text_table *t, const struct history_act *a)
{
    char when[24];

    history_act_when(a, when);
    table_addf(t, "%lld", (long long)a->id);
    table_add(t, when);
    if (a->undoes)
        table_addf(t, "undo of act %lld", (long long)a->undoes);
    else
        table_add(t, a->what);
    table_add(t, strcmp(a->what, "init") ? a->about : NULL);
    table_add(t, a->device);
    table_add(t, a->undone ? "undone" : "");
}

static void acts_json(struct cli *cli, const struct history_act *acts,
                      size_t count)
{
    struct json j = json_to(&cli->out);

    json_add_array(&j, NULL);
    for (size_t i = 0; i < count; i++) {
        json_add_object(&j, NULL);
        json_add_whole(&j, "act", acts[i].id);
        json_add_whole(&j, "at_ms", acts[i].at);
        json_add_whole(&j, "offset_min", acts[i].offset_min);
        json_add_string(&j, "what", acts[i].what);
        json_add_string(&j, "device", acts[i].device);
        if (acts[i].undoes)
            json_add_whole(&j, "undoes", acts[i].undoes);
        json_add_bool(&j, "undone", acts[i].undone);
        json_add_whole(&j, "records", (int64_t)acts[i].records);
        json_add_string(&j, "about", acts[i].about);
        json_end(&j);
    }
    json_end(&j);
}

static bool list_acts(struct cli *cli, struct error *err)
{
    static const char *const heads[] = {"act",   "when", "what",
                                        "about", "by",   ""};
    struct text_table t = {.columns = 6};
    struct history_act *acts;
    size_t count;
    long long limit = 20;

    if (!cli_whole(cli, "limit", 1, 1000000, &limit, err) ||
        !history_acts(cli->book, 0, (size_t)limit, &acts, &count, err))
        return false;
    if (cli->json) {
        acts_json(cli, acts, count);
    } else {
        for (size_t i = 0; i < t.columns; i++)
            table_add(&t, heads[i]);
        for (size_t i = 0; i < count; i++)
            act_row(&t, &acts[i]);
        if (cli->csv)
            table_write_csv(&t, &cli->out);
        else
            table_write(&t, cli->colour, cli->columns, &cli->out);
    }
    history_acts_free(acts, count);
    return true;
}

void show_changes_json(const struct history_change *list, size_t count,
                       const char *name, struct json *j)
{
    json_add_array(j, name);
    for (size_t i = 0; i < count; i++) {
        json_add_object(j, NULL);
        json_add_whole(j, "act", list[i].act);
        json_add_string(j, "noun", list[i].noun ? list[i].noun->name : NULL);
        json_add_whole(j, "record", list[i].record);
        json_add_string(j, "label", list[i].label);
        json_add_string(j, "field", list[i].field);
        json_add_string(j, "old", list[i].old);
        json_add_string(j, "new", list[i].new);
        json_end(j);
    }
    json_end(j);
}

void show_changes_table(struct cli *cli, const struct history_change *list,
                        size_t count)
{
    static const char *const heads[] = {"act", "record", "what", "was", "is"};
    struct text_table t = {.columns = 5};
    struct text said = {0};

    for (size_t i = 0; i < t.columns; i++)
        table_add(&t, heads[i]);
    for (size_t i = 0; i < count; i++) {
        if (!list[i].noun || (list[i].field && !list[i].what))
            continue;
        table_addf(&t, "%lld", (long long)list[i].act);
        record_said(list[i].noun, list[i].label, &said);
        table_add(&t, text_str(&said));
        text_reset(&said);
        table_add(&t, list[i].what ? list[i].what : "began");
        table_add(&t, list[i].was);
        table_add(&t, list[i].is);
    }
    text_clear(&said);
    if (cli->csv)
        table_write_csv(&t, &cli->out);
    else
        table_write(&t, cli->colour, cli->columns, &cli->out);
}

static bool list_changes(struct cli *cli, int64_t act, const struct noun *noun,
                         int64_t record, struct error *err)
{
    struct history_change *list;
    size_t count;
    bool ok = true;

    if (!history_changes(cli->book, act, noun, record, &list, &count, err))
        return false;
    if (act && !count) {
        ok = error_set(err, ERR_MISSING,
                       "there is no act %lld; see \"hanklab history\"",
                       (long long)act);
    } else if (cli->json) {
        struct json j = json_to(&cli->out);
        show_changes_json(list, count, NULL, &j);
    } else {
        show_changes_table(cli, list, count);
    }
    history_changes_free(list, count);
    return ok;
}

/* A record as it was after an act, in the words of its fields. */
static bool show_past(struct cli *cli, const struct noun *noun, int64_t record,
                      long long act, struct error *err)
{
    struct record r;

    if (!history_record_at(cli->book, noun, record, act, &r, err))
        return false;
    if (cli->json) {
        struct json j = json_to(&cli->out);
        json_add_object(&j, NULL);
        json_add_string(&j, "noun", noun->name);
        json_add_whole(&j, "after_act", act);
        json_add_bool(&j, "withdrawn", r.withdrawn);
        show_fields_json(&r, &j);
        json_end(&j);
        record_clear(&r);
        return true;
    }
    record_said(noun, r.label, &cli->out);
    text_addf(&cli->out, ", as it was after act %lld%s\n", act,
              r.withdrawn ? " (withdrawn)" : "");
    for (size_t i = 0; i < noun->field_count; i++)
        if (r.field[i].words)
            text_addf(&cli->out, "  %-14s %s\n", r.field[i].field->name,
                      r.field[i].words);
    record_clear(&r);
    return true;
}

static bool not_an_act(const char *words, struct error *err)
{
    return error_set(err, ERR_INPUT,
                     "\"%s\" is not the number of an act; see "
                     "\"hanklab history\"",
                     words);
}

/* "history 7": what one act changed. */
static bool one_act(struct cli *cli, struct error *err)
{
    long long act;

    if (!text_whole(cli->word[0], &act) && noun_find(cli->word[0]))
        return cli_usage(cli, err, "say which: hanklab history %s 1",
                         cli->word[0]);
    if (!text_whole(cli->word[0], &act))
        return cli_usage(cli, err,
                         "say an act by its number, or a "
                         "record: hanklab history skein 137");
    if (cli_has(cli, "at") || cli_has(cli, "back-to"))
        return cli_usage(cli, err,
                         "--at and --back-to are for a record: hanklab history "
                         "skein 137 --back-to %lld; an act is taken back by "
                         "hanklab undo %lld",
                         act, act);
    return act > 0 ? list_changes(cli, act, NULL, 0, err)
                   : not_an_act(cli->word[0], err);
}

static bool run(struct cli *cli, struct error *err)
{
    const struct noun *noun;
    long long act = 0, back = 0;
    int64_t id;

    if (!cli_whole(cli, "at", 1, INT64_MAX, &act, err) ||
        !cli_whole(cli, "back-to", 1, INT64_MAX, &back, err) ||
        !cli_book(cli, err))
        return false;
    if (!cli->word_count)
        return act || back ? cli_usage(cli, err,
                                       "--at and --back-to are for a record: "
                                       "hanklab history skein 137 --at 7")
                           : list_acts(cli, err);
    if (cli->word_count == 1)
        return one_act(cli, err);
    noun = noun_find(cli->word[0]);
    if (!noun)
        return cli_usage(cli, err, "there are no records called \"%s\"",
                         cli->word[0]);
    if (!(back ? record_find_any : record_find_shown)(cli->book, noun->id,
                                                      cli->word[1], &id, err))
        return false;
    if (back) {
        if (!history_bring_back(cli->book, noun, id, back, err))
            return false;
        text_addf(&cli->out, "%s %s is again as it was after act %lld\n",
                  noun->name, cli->word[1], back);
        return true;
    }
    if (act)
        return show_past(cli, noun, id, act, err);
    return list_changes(cli, 0, noun, id, err);
}

static const struct cli_option options[] = {
    {"limit", "N", "how many acts to list; 20 if not said"},
    {"at", "ACT", "show the record as it was after that act"},
    {"back-to", "ACT", "bring the record back to what it was after that act"},
};

const struct cli_command command_history = {
    "history",
    "[ACT | NOUN WHICH]",
    "show what was done, and the past of a record",
    "Without words: the latest acts. With an act's number: what it changed.\n"
    "With a record (\"skein 137\"): all that ever happened to it.",
    options,
    ARRAY_LEN(options),
    0,
    2,
    run,
};

static bool run_act(struct cli *cli, struct error *err)
{
    const struct cli_verb *verb = cli_verb_find(cli->command, cli->word[0]);
    long long act;

    if (!verb)
        return cli_usage(cli, err,
                         "\"%s\" is not something done to an act: show or "
                         "list; \"hanklab undo\" takes one back",
                         cli->word[0]);
    if (!strcmp(verb->name, "list"))
        return cli_book(cli, err) && list_acts(cli, err);
    if (cli->word_count < 2)
        return cli_usage(cli, err,
                         "say which act by its number: hanklab act show 7");
    if (!text_whole(cli->word[1], &act) || act < 1)
        return not_an_act(cli->word[1], err);
    return cli_book(cli, err) && list_changes(cli, act, NULL, 0, err);
}

static const struct cli_option act_options[] = {
    {"limit", "N", "how many acts to list; 20 if not said", CLI_LIST},
};

static const struct cli_verb act_verbs[] = {
    {"list", "", "list the latest acts", CLI_LIST},
    {"show", "ACT", "show what one act changed"},
};

const struct cli_command command_act = {
    .name = "act",
    .words = "VERB [ACT]",
    .summary = "show acts: each is one command or one form",
    .detail = "An act is never changed; \"hanklab undo ACT\" takes it back.",
    .options = act_options,
    .option_count = ARRAY_LEN(act_options),
    .min_words = 1,
    .max_words = 2,
    .run = run_act,
    .verbs = act_verbs,
    .verb_count = ARRAY_LEN(act_verbs),
};
