/* What is told of tests, in words. See book/fastness.h. */
#include "book/fastness.h"

#include <string.h>

#include "colour/grade.h"

const char fast_caution[] =
    "Grades are an indication: ISO 105-A05 measures by instrument at D65, 10 "
    "degrees, and its formula stands here from memory. A home test has no "
    "standard lamp or wash. Lay the parts beside a grey scale to be sure.";

void fast_dye_words(const char *dyestuffs, const char *mordants,
                    const char *dips, bool no_mordant, struct text *out)
{
    text_add(out, dyestuffs ? dyestuffs : "not dyed");
    if (mordants)
        text_addf(out, no_mordant ? ", %s" : " on %s", mordants);
    if (dips)
        text_addf(out, ", dipped in %s", dips);
}

void fast_lack_words(const struct fast_test *t, struct text *out)
{
    const char *when =
        t->lack == FAST_NO_AFTER ? "since it began" : "before it began";

    if (t->lack == FAST_GRADED)
        return;
    if (t->lack == FAST_OTHER_STEP)
        text_add(out, "something was done to it between the two readings");
    else if (t->why != ASK_NEVER)
        text_addf(out, "%s %s", when, ask_lack_words(t->why, t->wet));
    else if (!t->dated)
        text_add(out, "the day it began is not known, and no readings are "
                      "named");
    else
        text_addf(out, "not read %s%s", when,
                  t->lack == FAST_NO_BEFORE && t->kind == FAST_LIGHT
                      ? ", nor a covered part"
                      : "");
}

void fast_state_words(const struct fast_test *t, struct text *out)
{
    switch (t->state) {
    case FAST_ENDED:
        text_addf(out, "ended %s", t->end);
        return;
    case FAST_LATE:
        text_addf(out, "late, was due %s", t->due);
        return;
    case FAST_DUE:
        text_addf(out, "due %s", t->due);
        return;
    case FAST_PLANNED:
        text_addf(out, "begins %s", t->start);
        return;
    case FAST_RUNNING:
        break;
    }
    text_add(out, "running");
    if (t->start)
        text_addf(out, " since %s", t->start);
    if (t->due)
        text_addf(out, ", due %s", t->due);
}

void fast_grade_words(const struct fast_test *t, struct text *out)
{
    const char *low = grade_step(t->de_f_high);
    const char *high = grade_step(t->de_f_low);

    text_add(out, grade_step(t->de_f));
    if (strcmp(low, high) != 0)
        text_addf(out, " (%s to %s)", low, high);
}
