/* What the tests of a project in the book share: a blanket's stripe, and a
 * Friday. They need "link: -Wl,--wrap=time". */
#ifndef HANKLAB_TESTS_PROJECT_SUPPORT_H
#define HANKLAB_TESTS_PROJECT_SUPPORT_H

#include "pot_support.h"

#include <time.h>

#include "book/project.h"

#define ALUM "mordant=alum: 12 %; assist=cream of tartar: 6 %"
#define SUNDAY "Sunday 18:00"

time_t __wrap_time(time_t *out);
time_t __wrap_time(time_t *out)
{
    const time_t friday = 1795773600; /* 2026-11-27 10:00 UTC */

    if (out)
        *out = friday;
    return friday;
}

static const char *const stripe[] = {
    "rust = 160 m; dyestuff=madder: 60 %; " ALUM,
    "fox = 120 m; dyestuff=madder: 60 %; round=exhaust 1; " ALUM,
    "peach = 120 m; dyestuff=madder: 60 %; round=exhaust 2; " ALUM,
    "gold = 240 m; dyestuff=weld: 1:1; " ALUM,
    "olive = 160 m; dyestuff=weld: 100 %; round=exhaust 1; dip=iron: 2 "
    "%; " ALUM,
};

static const struct project_words blanket = {.name = "blanket stripe",
                                             .wishes = {stripe, 5},
                                             .yarn = "two-ply",
                                             .hank = "100 g = 400 m",
                                             .ready = SUNDAY,
                                             .pots = "3 x 8 l",
                                             .burners = "2"};

static inline struct project make(struct book *book,
                                  const struct project_words *w)
{
    struct project p;
    struct error err;

    check_ok(project_make(book, w, &p, NULL, &err), &err);
    return p;
}

static inline void not_made(struct book *book, struct project_words w,
                            const char *part)
{
    struct project p;
    struct error err = {0};

    if (project_make(book, &w, &p, NULL, &err))
        fail_msg("made, in spite of \"%s\"", part);
    check_says(err.text, part);
}

static inline const struct project_task *task(const struct project *p,
                                              const char *name)
{
    for (size_t i = 0; i < p->tasks; i++)
        if (strstr(p->task[i].name, name))
            return &p->task[i];
    fail_msg("no step \"%s\"", name);
    return NULL;
}

static inline const struct project_need *need(const struct project *p,
                                              const char *name)
{
    for (size_t i = 0; i < p->needs; i++)
        if (!strcmp(p->need[i].name, name))
            return &p->need[i];
    fail_msg("no need of %s", name);
    return NULL;
}

#endif
