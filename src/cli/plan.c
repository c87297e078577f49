/* hanklab plan: a project before the pot is lit, and its steps as they are
 * done. Words in, book/project.h does it. */
#include "cli/commands.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/mem.h"
#include "cli/log.h"
#include "cli/plan.h"

/* Which verbs take an option. */
enum { MAKE = CLI_ADD, WHEN = CLI_LIST, DONE = CLI_EDIT };

static void take_words(const struct cli *cli, struct project_words *w)
{
    *w = (struct project_words){
        .yarn = cli_value(cli, "yarn"),
        .hank = cli_value(cli, "hank"),
        .ready = cli_value(cli, "ready"),
        .pots = cli_value(cli, "pots"),
        .burners = cli_value(cli, "burners"),
        .jars = cli_value(cli, "jars"),
        .water = cli_value(cli, "water"),
        .hours = cli_value(cli, "hours"),
        .tests = cli_value(cli, "tests"),
        .times = log_words(cli, "time"),
        .note = cli_value(cli, "note"),
        .only_try = cli_has(cli, "try"),
    };
}

static void tell_all(struct cli *cli, const struct project *p)
{
    plan_tell_head(p, cli);
    text_add(&cli->out, "\n");
    plan_tell_wishes(p, cli);
    text_add(&cli->out, "\n");
    plan_tell_steps(p, cli);
    text_add(&cli->out, "\n");
    plan_tell_pots(p, cli);
    if (p->needs) {
        text_add(&cli->out, "\n");
        plan_tell_needs(p, cli);
    }
    if (p->said) {
        text_add(&cli->out, "\n");
        plan_tell_said(p, cli);
    }
}

static bool show(struct cli *cli, const struct project *p, const char *verb,
                 struct error *err)
{
    if (cli->json) {
        plan_tell_json(p, cli);
        return true;
    }
    if (!strcmp(verb, "weigh")) {
        plan_tell_pots(p, cli);
        text_add(&cli->out, p->needs ? "\n" : "");
        plan_tell_needs(p, cli);
    } else if (!strcmp(verb, "when")) {
        plan_tell_head(p, cli);
        plan_tell_steps(p, cli);
    } else {
        tell_all(cli, p);
    }
    if (!cli_flush(cli, err))
        return false;
    plan_tell_cautions(p);
    return true;
}

static bool make(struct cli *cli, struct error *err)
{
    struct project_words w;
    struct project p;
    struct text echo = {0};
    bool ok;

    if (cli->word_count < 3)
        return cli_usage(cli, err,
                         "say a name, and each colour in quotes: hanklab plan "
                         "make stripe \"rust = 120 m; dyestuff=madder: 60 %%; "
                         "mordant=alum: 12 %%\"");
    take_words(cli, &w);
    w.name = cli->word[1];
    w.wishes = (struct pot_words){cli->word + 2, cli->word_count - 2};
    ok = cli_book(cli, err) && project_make(cli->book, &w, &p, &echo, err);
    if (ok) {
        if (!cli->json)
            text_add(&cli->out, text_str(&echo));
        ok = show(cli, &p, "make", err);
        if (ok && !cli->json)
            text_addf(&cli->out,
                      w.only_try ? "Nothing was kept.\n"
                                 : "Kept: project %s.\n",
                      p.name);
        project_clear(&p);
    }
    text_clear(&echo);
    free((void *)w.times.word);
    return ok;
}

static bool says_when(const struct cli *cli)
{
    return cli_has(cli, "ready") || cli_has(cli, "pots") ||
           cli_has(cli, "burners") || cli_has(cli, "jars") ||
           cli_has(cli, "hours");
}

/* show, weigh, when */
static bool look(struct cli *cli, const char *verb, struct error *err)
{
    struct project_words w;
    struct project p;
    int64_t id;
    bool ok;

    if (cli->word_count > 2)
        return cli_usage(cli, err,
                         "one project at a time; put quotes around "
                         "a name with blanks in it");
    ok = cli_book(cli, err) &&
         project_find(cli->book, cli->word_count > 1 ? cli->word[1] : NULL, &id,
                      err);
    if (ok && !strcmp(verb, "when") &&
        (says_when(cli) || cli_has(cli, "anew"))) {
        take_words(cli, &w);
        ok = project_when(cli->book, id, &w, err);
        free((void *)w.times.word);
    }
    if (!ok || !project_read(cli->book, id, &p, err))
        return false;
    ok = show(cli, &p, verb, err);
    project_clear(&p);
    return ok;
}

static void take_changes(const struct cli *cli, struct pot_entry *pot)
{
    *pot = (struct pot_entry){
        .on = cli_value(cli, "date"),
        .temperature = cli_value(cli, "temperature"),
        .minutes = cli_value(cli, "minutes"),
        .ph = cli_value(cli, "ph"),
        .cooled = cli_value(cli, "cooled"),
        .vessel = cli_value(cli, "vessel"),
        .volume = cli_value(cli, "volume"),
        .with = log_words(cli, "with"),
        .note = cli_value(cli, "note"),
    };
}

static void sum_up(int step, const struct pot_result *r, struct text *out)
{
    text_addf(out, "step %d done", step);
    if (r->bath)
        text_addf(out, ", bath %s", r->bath);
    if (r->skeins) {
        text_add(out, ", ");
        log_numbers(r, out);
    }
}

static bool tell_done(struct cli *cli, int step, const struct pot_result *r,
                      const struct text *echo, struct error *err)
{
    struct text sum = {0};
    bool ok;

    sum_up(step, r, &sum);
    ok = log_tell(cli, r, echo, text_str(&sum), err);
    text_clear(&sum);
    return ok;
}

static bool done(struct cli *cli, struct error *err)
{
    struct pot_entry changed;
    struct pot_result result = {0};
    struct text echo = {0};
    struct project p;
    long long step;
    int64_t id;
    bool ok;

    if (cli->word_count != 2 || !text_whole(cli->word[1], &step) || step < 1 ||
        step > 1000)
        return cli_usage(cli, err,
                         "say which step, by its number: hanklab "
                         "plan done 3");
    take_changes(cli, &changed);
    ok = cli_book(cli, err) && log_skeins(cli, &changed, err) &&
         project_find(cli->book, cli_value(cli, "project"), &id, err) &&
         project_done(cli->book, id, (int)step, &changed, &result, &echo, err);
    if (ok && cli->json) {
        ok = project_read(cli->book, id, &p, err);
        if (ok) {
            plan_tell_json(&p, cli);
            project_clear(&p);
        }
    } else if (ok) {
        ok = tell_done(cli, (int)step, &result, &echo, err);
    }
    pot_result_clear(&result);
    text_clear(&echo);
    log_entry_clear(&changed);
    return ok;
}

static bool run(struct cli *cli, struct error *err)
{
    const struct cli_verb *verb = cli_verb_find(cli->command, cli->word[0]);

    if (!verb)
        return cli_usage(cli, err,
                         "\"%s\" is not something done to a plan: make, show, "
                         "weigh, when or done",
                         cli->word[0]);
    for (size_t i = 0; i < cli->given_count; i++)
        if (!cli_option_fits(cli->given[i].option, verb))
            return cli_usage(cli, err, "\"plan %s\" has no option --%s",
                             verb->name, cli->given[i].option->name);
    if (!strcmp(verb->name, "make"))
        return make(cli, err);
    if (!strcmp(verb->name, "done"))
        return done(cli, err);
    return look(cli, verb->name, err);
}

static const struct cli_option options[] = {
    {"yarn", "NAME", "which yarn", MAKE},
    {"hank", "SAMPLE", "of that yarn: \"100 g = 400 m\"", MAKE},
    {"ready", "MOMENT", "done by then, begun as late as that allows",
     MAKE | WHEN},
    {"pots", "POTS", "how many, and what one holds; 3 x 8 l if not said",
     MAKE | WHEN},
    {"burners", "N", "how many; 2 if not said", MAKE | WHEN},
    {"jars", "POTS",
     "that stand in one water bath: \"4 x 1 l\"; none if not "
     "said",
     MAKE | WHEN},
    {"hours", "HOURS", "work only between these; 8-22 if not said",
     MAKE | WHEN},
    {"water", "N:1", "litres for a kg of fibre; 30:1 if not said", MAKE},
    {"tests", "N", "exhausts behind the last, a skein each: \"2 x 10 g\"",
     MAKE},
    {"time", "STEP=TIME", "your own heat and time: \"dye=70 C, 45 min\"",
     MAKE | CLI_MANY},
    {"try", NULL, "plan and show, and keep nothing", MAKE},
    {"anew", NULL, "plan the steps that are left from now on", WHEN},
    {"project", "NAME", "of which project; the newest with a step to do", DONE},
    {"date", "DAY", "when it was done; today if not said", DONE},
    {"temperature", "HEAT", "highest reached, if other than planned", DONE},
    {"minutes", "TIME", "at that heat, if other than planned", DONE},
    {"with", "DOSE", "what went in, in place of all that was planned",
     DONE | CLI_MANY},
    {"skein", "SKEIN", "in place of those planned, with what is new of them",
     DONE | CLI_MANY},
    {"ph", "PH", "how sour or alkaline it was", DONE},
    {"cooled", "yes|no", "yes: the skeins cooled in the bath", DONE},
    {"volume", "VOLUME", "how much liquor, if other than planned", DONE},
    {"vessel", "TEXT", "if other than planned", DONE},
    {"note", "TEXT", "anything else", MAKE | DONE},
};

static const struct cli_verb verbs[] = {
    {"make", "NAME COLOUR...", "plan a new project, and keep it", MAKE},
    {"show", "[NAME]", "all of it, planned and done", 0},
    {"weigh", "[NAME]", "what goes into each pot, and what is missing", 0},
    {"when", "[NAME]", "the steps in time; with options, planned anew", WHEN},
    {"done", "STEP", "a step was done as planned, but for what is said", DONE},
};

const struct cli_command command_plan = {
    "plan",
    "make|show|weigh|when|done [WORDS]...",
    "plan a project: pots, weights and times; keep what was done",
    "A COLOUR is a name and how much, metres, grams or hanks, and how it is "
    "dyed:\n"
    "\"rust = 120 m; dyestuff=madder: 60 %; mordant=alum: 12 %\". Also "
    "assist,\n"
    "dip, round (\"round=exhaust 1\" for a paler one), note; like=31 for a\n"
    "skein whose way is taken; on=41 in place of the amount for a skein of\n"
    "the book, such as a mordanted spare. \"2 x 40 m\" and \"2 hanks\" are\n"
    "two skeins.\n"
    "\n"
    "The same dyestuff in the same strength is one liquor; iron, copper and\n"
    "tin go in last or get a pot of their own. Heat and times are those you\n"
    "had before, else common practice, never a boil.",
    options,
    ARRAY_LEN(options),
    1,
    SIZE_MAX,
    run,
    verbs,
    ARRAY_LEN(verbs),
};
