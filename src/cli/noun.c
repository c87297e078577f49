/* hanklab NOUN VERB. See noun.h. */
#include "cli/noun.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/json.h"
#include "base/mem.h"
#include "book/record.h"
#include "cli/commands.h"
#include "cli/sheet.h"
#include "dye/share.h"

/* Beside the fields: what a picture shows comes with it. */
static const struct cli_option photo_options[] = {
    {"skein", "SKEIN", "one it shows: \"12\", \"12: faint, orange\"",
     CLI_ADD | CLI_MANY},
    {"glow", "none|faint|strong", "the glow under an ultraviolet lamp of all",
     CLI_ADD},
    {"glow-colour", "TEXT", "its colour in words", CLI_ADD},
};

static const struct cli_option join_option = {
    "join", NULL,
    "with the --name of another: the two are one stuff, and all that was said "
    "of this one is of that one",
    CLI_EDIT};

/* Beside the fields of what belongs to a dyer. */
static const struct cli_option owner_option = {
    "dyer", "DYER", "whose it is, if not yours", CLI_ADD};

static const struct cli_option list_options[] = {
    {"withdrawn", NULL, "the withdrawn ones too", CLI_LIST},
};

static const struct cli_verb verbs[] = {
    {"add", NULL, "write a new one into the book", CLI_ADD},
    {"show", "WHICH", "show one with all that is recorded of it"},
    {"list", "", "list them all", CLI_LIST},
    {"edit", "WHICH",
     "change the fields named; an empty value, --note \"\", takes one away",
     CLI_EDIT},
    {"withdraw", "WHICH",
     "take one out of all lists; it is kept, never deleted"},
    {"back", "WHICH", "bring one back that was withdrawn"},
};

bool cli_noun_is_command(const struct noun *noun)
{
    return noun->id != NOUN_REGION;
}

/* A name in capitals, for what stands in its place; never freed. */
static const char *capitals(const char *name)
{
    char *s = mem_text(name);

    for (char *p = s; *p; p++)
        if (*p >= 'a' && *p <= 'z')
            *p = (char)(*p - 'a' + 'A');
    return s;
}

static const char *value_of(const struct field *f)
{
    switch (f->kind) {
    case FIELD_CHOICE:
        return f->choices;
    case FIELD_FLAG:
        return "yes|no";
    case FIELD_WHOLE:
    case FIELD_REAL:
        return "NUMBER";
    case FIELD_WEIGHT:
        return "WEIGHT";
    case FIELD_LENGTH:
        return "LENGTH";
    case FIELD_VOLUME:
        return "VOLUME";
    case FIELD_DOSE:
        return "AMOUNT";
    case FIELD_DAY:
        return "DAY";
    case FIELD_PH:
        return "PH";
    case FIELD_HEAT:
        return "HEAT";
    case FIELD_MINUTES:
        return "TIME";
    case FIELD_ROUND:
        return "ROUND";
    case FIELD_REF:
        return capitals(nouns[f->ref].name);
    case FIELD_LAB:
        return "L,a,b";
    case FIELD_SIGMA:
        return "uL,ua,ub";
    case FIELD_TEXT:
    case FIELD_NAME:
    case FIELD_CODE:
        return "TEXT";
    }
    return "TEXT";
}

/* The field that a bare word is for: the noun's first, or its name where that
 * one was said by its option; NULL when both were. */
static const struct field *bare_field(const struct cli *cli,
                                      const struct noun *noun)
{
    const struct field *name = NULL;

    for (size_t i = 0; i < noun->field_count; i++) {
        const struct field *f = &noun->fields[i];

        if (f->flags & FIELD_OWN || cli_value(cli, f->name))
            continue;
        if (f->flags & FIELD_FIRST)
            return f;
        if (!strcmp(f->name, "name"))
            name = f;
    }
    return name;
}

/* The fields' values that were given, the first word among them. */
static size_t values_given(const struct cli *cli, const struct noun *noun,
                           struct record_value *values, const char *first)
{
    const struct field *bare = first ? bare_field(cli, noun) : NULL;
    size_t n = 0;

    for (size_t i = 0; i < noun->field_count; i++) {
        const struct field *f = &noun->fields[i];
        const char *words =
            f->flags & FIELD_OWN ? NULL : cli_value(cli, f->name);
        if (!words && f == bare)
            words = first;
        if (words)
            values[n++] = (struct record_value){f->name, words};
    }
    if (noun->owner && noun->id != NOUN_PHOTO && cli_value(cli, "dyer"))
        values[n++] = (struct record_value){"dyer", cli_value(cli, "dyer")};
    return n;
}

static bool end_act(struct cli *cli, bool ok, struct error *err)
{
    if (ok && book_act_end(cli->book, err))
        return true;
    book_act_cancel(cli->book);
    return false;
}

static bool begin_act(struct cli *cli, const struct noun *noun,
                      const char *verb, struct error *err)
{
    char what[40];

    snprintf(what, sizeof what, "%s %s", noun->name, verb);
    return cli_book(cli, err) && book_act_begin(cli->book, what, err);
}

bool cli_tell(struct cli *cli, const struct noun *noun, int64_t id,
              const char *done, const struct text *echo, struct error *err)
{
    struct text label = {0};
    struct json j;
    bool ok = record_label(cli->book, noun->id, id, &label, err);

    if (ok && cli->json) {
        j = json_to(&cli->out);
        json_add_object(&j, NULL);
        json_add_string(&j, "noun", noun->name);
        json_add_whole(&j, "id", id);
        json_add_string(&j, "label", text_str(&label));
        json_add_string(&j, "done", done);
        json_add_string(&j, "understood", echo->len ? echo->s : NULL);
        json_end(&j);
    } else if (ok) {
        text_addf(&cli->out, "%s %s: %s\n%s", noun->name, text_str(&label),
                  done, text_str(echo));
    }
    text_clear(&label);
    return ok;
}

static bool add(struct cli *cli, const struct noun *noun, struct error *err)
{
    struct record_value *values =
        mem_new(noun->field_count + 1, sizeof *values);
    const char *first = cli->word_count > 1 ? cli->word[1] : NULL;
    size_t n = values_given(cli, noun, values, first);
    char *answer[CLI_READING_QUESTIONS] = {NULL};
    struct text echo = {0};
    int64_t id = 0;
    bool ok = first && !bare_field(cli, noun)
                  ? cli_usage(cli, err,
                              "what is \"%s\"? all it could be was "
                              "said by options",
                              first)
                  : noun->id != NOUN_READING ||
                        cli_reading_ask(cli, values, &n, answer, err);

    ok = ok && begin_act(cli, noun, "add", err) &&
         end_act(cli,
                 record_add(cli->book, noun->id, values, n, &id, &echo, err),
                 err);
    ok = ok && cli_cautions(cli, noun, id, err);
    if (ok && noun->id == NOUN_READING)
        ok = cli_reading_light(cli, id, &echo, err);
    ok = ok && cli_tell(cli, noun, id, "added", &echo, err);
    for (size_t i = 0; i < CLI_READING_QUESTIONS; i++)
        free(answer[i]);
    text_clear(&echo);
    free(values);
    return ok;
}

/* A weight that is said of several skeins as that of one. */
static bool share(struct record_value *values, size_t n, size_t among,
                  struct text *each, struct error *err)
{
    for (size_t i = 0; i < n; i++)
        if (!strcmp(values[i].field, "weight")) {
            if (!share_weight(values[i].words, among, each, err))
                return false;
            values[i].words = text_str(each);
        }
    return true;
}

/* One record, or several skeins in one act. */
static bool edit(struct cli *cli, const struct noun *noun, const int64_t *id,
                 size_t count, struct error *err)
{
    struct record_value *values =
        mem_new(noun->field_count + 1, sizeof *values);
    size_t n = values_given(cli, noun, values, NULL);
    struct text *echo = mem_new(count, sizeof *echo), each = {0};
    const bool weighs = noun->id == NOUN_SKEIN && cli_value(cli, "weight");
    struct cli_weighed *before = NULL;
    bool ok = (noun->id != NOUN_SKEIN || share(values, n, count, &each, err)) &&
              (!weighs || cli_weighed_before(cli, id, count, &before, err));

    ok = ok && begin_act(cli, noun, "edit", err);
    if (ok) {
        for (size_t i = 0; ok && i < count; i++)
            ok = record_edit(cli->book, noun->id, id[i], values, n, &echo[i],
                             err);
        ok = end_act(cli, ok, err);
    }
    if (ok && weighs)
        ok = cli_weighed_tell(cli, before, &echo[count - 1], err);
    cli_weighed_free(before);
    for (size_t i = 0; ok && i < count; i++)
        ok = cli_tell(cli, noun, id[i], "changed", &echo[i], err);
    for (size_t i = 0; i < count; i++)
        text_clear(&echo[i]);
    text_clear(&each);
    free(echo);
    free(values);
    return ok;
}

/* The material is another one, too: its name says which. */
static bool join(struct cli *cli, const struct noun *noun, int64_t from,
                 struct error *err)
{
    struct record_value *values =
        mem_new(noun->field_count + 1, sizeof *values);
    const size_t given = values_given(cli, noun, values, NULL);
    const char *name = cli_value(cli, "name");
    struct text label = {0}, echo = {0};
    int64_t to;
    bool ok;

    free(values);
    if (!name || given != 1)
        return cli_usage(cli, err,
                         "--join goes with --name, the name of the other one, "
                         "and with nothing else");
    ok = record_find(cli->book, noun->id, name, &to, err) &&
         (from != to ||
          error_set(err, ERR_INPUT, "join: %s is that one already", name)) &&
         record_label(cli->book, noun->id, from, &label, err) &&
         begin_act(cli, noun, "join", err) &&
         end_act(cli, record_join(cli->book, from, to, err), err);
    text_addf(&echo, "%s is one of its names\n", text_str(&label));
    ok = ok && cli_tell(cli, noun, to, "joined", &echo, err);
    text_clear(&label);
    text_clear(&echo);
    return ok;
}

/* Which is edited: one, or skeins said in one, "54-55". */
static bool edit_which(struct cli *cli, const struct noun *noun,
                       const char *which, struct error *err)
{
    int64_t *ids = NULL, id;
    struct error why;
    size_t n;
    bool ok, meant;

    if (record_find_any(cli->book, noun->id, which, &id, err))
        return noun->id == NOUN_MATERIAL && cli_has(cli, "join")
                   ? join(cli, noun, id, err)
                   : edit(cli, noun, &id, 1, err);
    if (noun->id != NOUN_SKEIN || err->kind != ERR_MISSING)
        return false;
    if (!record_skeins(cli->book, book_dyer(cli->book), which, &ids, &n, &meant,
                       &why)) {
        if (meant)
            *err = why;
        return false;
    }
    ok = edit(cli, noun, ids, n, err);
    free(ids);
    return ok;
}

/* Skeins typed apart, "54 56", are those in one: "54, 56". */
static bool edit_words(struct cli *cli, const struct noun *noun,
                       struct error *err)
{
    struct text which = {0};
    bool ok;

    for (size_t i = 1; i < cli->word_count; i++)
        text_addf(&which, "%s%s", i > 1 ? ", " : "", cli->word[i]);
    ok = edit_which(cli, noun, text_str(&which), err);
    text_clear(&which);
    return ok;
}

static bool withdraw(struct cli *cli, const struct noun *noun, int64_t id,
                     bool withdrawn, struct error *err)
{
    struct text used = {0}, echo = {0};
    bool ok =
        cli_book(cli, err) &&
        (!withdrawn || record_used(cli->book, noun->id, id, &used, err)) &&
        begin_act(cli, noun, withdrawn ? "withdraw" : "back", err) &&
        end_act(cli, record_withdraw(cli->book, noun->id, id, withdrawn, err),
                err);

    if (used.len)
        text_addf(&echo, "still named by %s\n", text_str(&used));
    ok = ok && cli_tell(cli, noun, id,
                        withdrawn ? "withdrawn; \"back\" brings it back"
                                  : "brought back",
                        &echo, err);
    text_clear(&used);
    text_clear(&echo);
    return ok;
}

static bool on_one(struct cli *cli, const struct noun *noun, const char *verb,
                   struct error *err)
{
    int64_t id;

    if (cli->word_count < 2)
        return cli_usage(cli, err, "say which %s, as in hanklab %s %s 3",
                         noun->name, noun->name, verb);
    if (!cli_book(cli, err))
        return false;
    if (!strcmp(verb, "edit"))
        return edit_words(cli, noun, err);
    if (!record_find_any(cli->book, noun->id, cli->word[1], &id, err))
        return false;
    if (!strcmp(verb, "show"))
        return cli_show(cli, noun, id, err);
    return withdraw(cli, noun, id, !strcmp(verb, "withdraw"), err);
}

/* Refuses an option that says nothing to the verb. What is never changed
 * later is refused by the record itself, which says why. */
static bool fits(struct cli *cli, const struct noun *noun,
                 const struct cli_verb *verb, struct error *err)
{
    for (size_t i = 0; i < cli->given_count; i++) {
        const struct cli_option *o = cli->given[i].option;
        const struct field *f = noun_field(noun, o->name);
        if (!cli_option_fits(o, verb) &&
            !(verb->takes & CLI_EDIT && f && f->flags & FIELD_FIXED))
            return cli_usage(cli, err, "\"%s %s\" has no option --%s",
                             noun->name, verb->name, o->name);
    }
    return true;
}

static bool run(struct cli *cli, struct error *err)
{
    const struct noun *noun = noun_find(cli->command->name);
    const struct cli_verb *verb = cli_verb_find(cli->command, cli->word[0]);

    if (!verb && noun->id == NOUN_CAMERA)
        return cli_usage(cli, err,
                         "\"%s\" is not something done to a camera: show, "
                         "list, edit, withdraw or back; \"measure\" with "
                         "--keep-camera makes one",
                         cli->word[0]);
    if (!verb)
        return cli_usage(cli, err,
                         "\"%s\" is not something done to a %s: add, "
                         "show, list, edit, withdraw or back",
                         cli->word[0], noun->name);
    if (cli->word_count > 2 &&
        (noun->id != NOUN_SKEIN || !(verb->takes & CLI_EDIT)))
        return cli_usage(cli, err,
                         "\"%s\" is one word too many: put quotes around what "
                         "has blanks in it; only \"skein edit\" takes several, "
                         "as in 12-14 or 12 14",
                         cli->word[2]);
    if (!fits(cli, noun, verb, err))
        return false;
    if (verb->takes & CLI_LIST)
        return cli_list(cli, noun, cli_has(cli, "withdrawn"), err);
    if (verb->takes & CLI_ADD)
        return noun->id == NOUN_PHOTO ? cli_photo_add(cli, err)
                                      : add(cli, noun, err);
    return on_one(cli, noun, verb->name, err);
}

/* What a field is for, and what the table knows of it beside that. */
static const char *help_of(const struct field *f)
{
    struct text t = {0};

    text_add(&t, f->help);
    if (f->preset)
        text_addf(&t, "; %s if not said", f->preset);
    else if (f->flags & FIELD_NEEDED)
        text_add(&t, "; needed");
    if (f->flags & FIELD_MAKES)
        text_add(&t, "; a new name makes a new one");
    if (f->flags & FIELD_FIXED)
        text_add(&t, "; never changed later");
    return text_take(&t);
}

static const struct cli_verb *verbs_of(const struct noun *noun)
{
    struct cli_verb *v = mem_new(ARRAY_LEN(verbs), sizeof *v);
    struct text first = {0};

    for (size_t i = 0; i < ARRAY_LEN(verbs); i++)
        v[i] = verbs[i];
    for (size_t i = 0; i < noun->field_count; i++)
        if (noun->fields[i].flags & FIELD_FIRST)
            text_addf(&first, "[%s]", noun->fields[i].name);
    v[0].words = noun->id == NOUN_PHOTO ? "FILE" : capitals(text_str(&first));
    text_clear(&first);
    return v;
}

static void build(const struct noun *noun, struct cli_command *c)
{
    struct cli_option *o = mem_new(noun->field_count + 8, sizeof *o);
    struct text detail = {0};
    size_t n = 0;

    for (size_t i = 0; i < noun->field_count; i++) {
        const struct field *f = &noun->fields[i];
        if (f->flags & FIELD_OWN)
            continue;
        o[n++] = (struct cli_option){
            f->name, value_of(f), help_of(f),
            f->flags & FIELD_FIXED ? CLI_ADD : CLI_ADD | CLI_EDIT};
        if (f->flags & FIELD_FIRST)
            text_addf(&detail, "The word after \"add\" is the %s.", f->name);
    }
    for (size_t i = 0; noun->id == NOUN_PHOTO && i < ARRAY_LEN(photo_options);
         i++)
        o[n++] = photo_options[i];
    if (noun->owner && noun->id != NOUN_PHOTO)
        o[n++] = owner_option;
    if (noun->id == NOUN_MATERIAL)
        o[n++] = join_option;
    for (size_t i = 0; i < ARRAY_LEN(list_options); i++)
        o[n++] = list_options[i];
    /* What is learnt from a photo is not added by hand. */
    const size_t learnt = noun->id == NOUN_CAMERA;

    *c = (struct cli_command){
        .name = noun->name,
        .words = learnt ? "show|list|edit|withdraw|back [WHICH]"
                        : "add|show|list|edit|withdraw|back [WHICH]",
        .summary = noun->help,
        .detail = detail.len ? text_take(&detail) : NULL,
        .options = o,
        .option_count = n,
        .min_words = 1,
        .max_words = SIZE_MAX,
        .run = run,
        .verbs = verbs_of(noun) + learnt,
        .verb_count = ARRAY_LEN(verbs) - learnt,
    };
}

const struct cli_command *cli_noun_command(const struct noun *noun)
{
    static struct cli_command commands[NOUN_COUNT];
    struct cli_command *c = &commands[noun->id];

    if (!c->name)
        build(noun, c);
    return c;
}
