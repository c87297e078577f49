/* hanklab show 137: what a skein is, went through and looks like. */
#include "cli/sheet.h"

#include <math.h>
#include <string.h>

#include "draw/strip.h"
#include "draw/terminal.h"
#include "base/mem.h"

static const char *const facts_skipped[] = {"name", "number", "code", NULL};
/* Where the colour word was said before the last step, and is told so. */
static const char *const word_skipped[] = {"name", "number", "code", "colour",
                                           NULL};

static void title(const struct record *r, struct text *out)
{
    const struct record_field *name = record_get(r, "name");
    const struct record_field *code = record_get(r, "code");

    text_addf(out, "skein %s", r->label);
    if (name)
        text_addf(out, " \"%s\"", name->words);
    if (code)
        text_addf(out, ", code %s", code->words);
    if (r->withdrawn)
        text_add(out, ", withdrawn");
    text_add(out, "\n");
}

static void add_field(const struct record *r, const char *field,
                      const char *before, const char *behind, bool *any,
                      struct text *out)
{
    const char *fact = show_fact(r, field);

    if (!fact)
        return;
    text_addf(out, "%s%s%s%s", *any ? ", " : "", before, fact, behind);
    *any = true;
}

static bool is_one(const struct record *r, const char *field)
{
    const struct record_field *f = record_get(r, field);

    return f && f->low < 1.5;
}

/* Temperature, time and the rest in one line, if anything is known. */
static void step_facts(const struct sheet_step *s, struct text *out)
{
    struct text line = {0};
    bool any = false;

    add_field(&s->treatment, "temperature", "", "", &any, &line);
    add_field(&s->treatment, "minutes", "", "", &any, &line);
    if (s->ph) {
        text_addf(&line, "%spH %s", any ? ", " : "", s->ph);
        any = true;
    }
    add_field(&s->treatment, "vessel", "in ", "", &any, &line);
    if (record_get(&s->treatment, "cooled")) {
        text_addf(&line, "%s%s in the bath", any ? ", " : "",
                  record_get(&s->treatment, "cooled")->low > 0 ? "cooled"
                                                               : "not cooled");
        any = true;
    }
    add_field(&s->treatment, "dips", "",
              is_one(&s->treatment, "dips") ? " dip" : " dips", &any, &line);
    add_field(&s->treatment, "airing", "in the air ", "", &any, &line);
    add_field(&s->entry, "dipped", "only ", "", &any, &line);
    add_field(&s->entry, "weight", "it weighed ", "", &any, &line);
    if (any)
        text_addf(out, "     %s\n", text_str(&line));
    text_clear(&line);
}

static void add_note(const struct record *r, struct text *out)
{
    const struct record_field *f = record_get(r, "note");

    if (f)
        text_addf(out, "     note: %s\n", f->words);
}

static void add_readings(const struct sheet_readings *r, bool colour,
                         struct text *out)
{
    for (size_t i = 0; i < r->count; i++) {
        text_add(out, "     ");
        show_reading(&r->reading[i], colour, out);
        text_add(out, "\n");
    }
}

static void show_cut(const struct sheet_step *s, struct text *out)
{
    if (s->plied)
        text_addf(out, "     then skein %s was plied into skein %s",
                  s->event.skein, s->event.into);
    else
        text_addf(out, "     then skein %s was cut from %s", s->event.into,
                  s->event.skein);
    if (!isnan(s->event.grams)) {
        text_add(out, ", ");
        text_add_real(out, s->event.grams, 1);
        text_add(out, " g");
    }
    text_add(out, "\n");
}

/* Of what went into a bath after it was first used. */
static void add_when(const struct sheet_step *s, const struct sheet_dose *d,
                     struct text *out)
{
    if (d->before_round <= 0 || d->from)
        return;
    if (s->event.has_round && s->event.round == d->before_round) {
        text_addf(out, ", added for this %s",
                  strcmp(s->event.treatment, "dye") ? "use" : "round");
    } else if (!strcmp(s->event.treatment, "dye")) {
        text_add(out, ", added for ");
        ask_round_words(d->before_round, out);
    } else {
        text_addf(out, ", added for use %d", d->before_round + 1);
    }
}

static void show_step(const struct sheet_step *s, size_t number, bool colour,
                      struct text *out)
{
    if (s->event.kind == LIFE_CUT) {
        show_cut(s, out);
        return;
    }
    text_addf(out, "  %zu. ", number);
    ask_step_words(s->event.treatment, s->event.has_round, s->event.round,
                   s->event.bath, out);
    if (s->event.on_words)
        text_addf(out, ", %s", s->event.on_words);
    if (!s->own)
        text_addf(out, " (as skein %s)", s->event.skein);
    text_add(out, "\n");
    for (size_t i = 0; i < s->doses.count; i++) {
        text_add(out, "     ");
        show_dose(&s->doses.dose[i], out);
        add_when(s, &s->doses.dose[i], out);
        text_add(out, "\n");
    }
    step_facts(s, out);
    add_note(&s->treatment, out);
    add_note(&s->entry, out);
    add_readings(&s->readings, colour, out);
}

static void show_pieces(const struct skein_sheet *s, struct text *out)
{
    for (size_t i = 0; i < s->pieces; i++) {
        const struct record_field *amount = record_get(&s->piece[i], "amount");
        text_addf(out, "  went into skein %s",
                  record_get(&s->piece[i], "child")->words);
        if (amount)
            text_addf(out, ", %s", amount->words);
        text_add(out, "\n");
    }
    if (!s->cut_up && s->left_g > 0.05) {
        text_add(out, "  left of it     ");
        text_add_real(out, s->left_g, 1);
        text_add(out, " g\n");
    } else if (s->cut_up || !isnan(s->left_g)) {
        text_add(out, "  left of it     nothing\n");
    }
    for (size_t i = 0; i < s->sights; i++) {
        const struct record_field *glow = record_get(&s->sight[i], "glow");
        const struct record_field *tint =
            record_get(&s->sight[i], "glow-colour");
        bool pictured = s->picture[i].noun != NULL;
        const struct record_field *on =
            record_get(pictured ? &s->picture[i] : &s->sight[i], "on");
        if (pictured)
            text_addf(out, "  on photo %s, %s", s->picture[i].label,
                      record_get(&s->picture[i], "shows")->words);
        else
            text_add(out, "  seen by eye, ultraviolet");
        if (on)
            text_addf(out, ", %s", record_shown(on));
        if (glow)
            text_addf(out, ": glow %s", glow->words);
        if (tint)
            text_addf(out, "%s%s", glow ? ", " : ": glow ", tint->words);
        text_add(out, "\n");
    }
}

static bool any_reading(const struct skein_sheet *s)
{
    bool any = s->before.count > 0;

    for (size_t i = 0; i < s->steps; i++)
        any = any || s->step[i].readings.count > 0;
    return any;
}

/* How far the true colour may be from the one that was read: "may be
 * darker and bluer ... lighter and redder". */
static void show_range(const struct ask_skein *now, bool colour,
                       struct text *out)
{
    const struct colour_reading *c = &now->reading.colour;
    struct range_axis axis[RANGE_AXES];
    struct lab step[STRIP_STEPS];
    char words[64];

    if (now->lack != ASK_HAS_COLOUR)
        return;
    range_of(c->lab, c->abs, axis);
    for (int i = 0; i < RANGE_AXES && axis[i].de00 >= RANGE_SEEN; i++) {
        text_add(out, i ? "         or from " : "it may be from ");
        for (int end = 1; end >= 0; end--) {
            const struct lab e = axis[i].end[end];

            difference_words(c->lab, e, words, sizeof words);
            text_addf(out, "%s (L* %.0f a* %.0f b* %.0f)%s", words,
                      text_round(e.L, 0) + 0.0, text_round(e.a, 0) + 0.0,
                      text_round(e.b, 0) + 0.0, end ? " to " : "");
        }
        strip_of_axis(c->lab, &axis[i], step);
        if (colour)
            text_add(out, " ");
        for (int k = 0; k < STRIP_STEPS; k++)
            block_add(out, step[k], 2, colour);
        text_add(out, "\n");
    }
}

static void show_text(struct cli *cli, const struct skein_sheet *s)
{
    struct text *out = &cli->out;
    size_t number = 0;

    title(&s->skein, out);
    text_add(out, "  ");
    ask_recipe_words(&s->now, out);
    text_add(out, "\n");
    show_fields(&s->skein, s->now.word_before ? word_skipped : facts_skipped,
                out);
    if (s->now.word_before) {
        text_addf(out, "  %-14s ", "colour");
        ask_own_word(&s->now, out);
        text_add(out, "\n");
    }
    if (s->now.as) {
        text_add(out, "  seen           ");
        ask_colour_words(&s->now, out);
        text_add(out, " was before it was cut\n");
    }
    show_pieces(s, out);
    if (s->steps)
        text_add(out, "its life\n");
    add_readings(&s->before, cli->colour, out);
    for (size_t i = 0; i < s->steps; i++) {
        number += s->step[i].event.kind == LIFE_STEP;
        show_step(&s->step[i], number, cli->colour, out);
    }
    if (s->lacks) {
        text_add(out, "not recorded: ");
        for (size_t i = 0; i < s->lacks; i++)
            text_addf(out, "%s%s", i ? ", " : "", s->lacking[i]);
        text_add(out, "\n");
    }
    show_range(&s->now, cli->colour, out);
    if (any_reading(s))
        text_add(out, show_colour_note);
}

/* ---- JSON -------------------------------------------------------------------
 */

static void readings_json(const struct sheet_readings *r, struct json *j)
{
    json_add_array(j, "readings");
    for (size_t i = 0; i < r->count; i++)
        show_reading_json(&r->reading[i], j);
    json_end(j);
}

static void step_json(const struct sheet_step *s, struct json *j)
{
    json_add_object(j, NULL);
    json_add_string(j, "skein", s->event.skein);
    if (s->event.kind == LIFE_CUT) {
        json_add_string(j, "kind", s->plied ? "plied" : "cut");
        json_add_string(j, "into", s->event.into);
        json_add_real(j, "g", s->event.grams, 4);
        json_end(j);
        return;
    }
    show_fields_json(&s->treatment, j);
    json_add_string(j, "ph", s->ph);
    json_add_object(j, "entry");
    show_fields_json(&s->entry, j);
    json_end(j);
    json_add_array(j, "doses");
    for (size_t i = 0; i < s->doses.count; i++)
        show_dose_json(&s->doses.dose[i], j);
    json_end(j);
    readings_json(&s->readings, j);
    json_end(j);
}

static void show_json(struct cli *cli, const struct skein_sheet *s)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_string(&j, "skein", s->skein.label);
    json_add_string(&j, "uid", s->skein.uid);
    json_add_bool(&j, "withdrawn", s->skein.withdrawn);
    show_fields_json(&s->skein, &j);
    json_add_array(&j, "life");
    for (size_t i = 0; i < s->steps; i++)
        step_json(&s->step[i], &j);
    json_end(&j);
    json_add_string(&j, "as_skein", s->now.as);
    json_add_real(&j, "left_g", s->left_g, 4);
    json_add_bool(&j, "cut_up", s->cut_up != NULL);
    json_add_array(&j, "photos");
    for (size_t i = 0; i < s->sights; i++) {
        json_add_object(&j, NULL);
        if (s->picture[i].noun)
            show_fields_json(&s->picture[i], &j);
        json_add_object(&j, "seen");
        show_fields_json(&s->sight[i], &j);
        json_end(&j);
        json_end(&j);
    }
    json_end(&j);
    readings_json(&s->before, &j);
    json_add_array(&j, "not_recorded");
    for (size_t i = 0; i < s->lacks; i++)
        json_add_string(&j, NULL, s->lacking[i]);
    json_end(&j);
    json_end(&j);
}

bool show_skein(struct cli *cli, int64_t id, struct error *err)
{
    struct skein_sheet s;

    if (!sheet_of_skein(cli->book, id, &s, err))
        return false;
    if (cli->json)
        show_json(cli, &s);
    else
        show_text(cli, &s);
    skein_sheet_clear(&s);
    return true;
}
