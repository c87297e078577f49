/* The cautions of a project. See project_work.h. */
#include "book/project_work.h"

#include <stdlib.h>
#include <string.h>

#include "book/ask.h"
#include "book/beware.h"
#include "dye/caution.h"

static void add_line(struct text *out, const char *who, const char *text)
{
    struct text line = {0};

    text_addf(&line, "%s%s%s\n", who, *who ? ": " : "", text);
    if (!strstr(text_str(out), text_str(&line)))
        text_add(out, text_str(&line));
    text_clear(&line);
}

static void take_caution(void *self, const char *name, const struct caution *c)
{
    add_line(self, name, c->text);
}

/* Of what skeins are mordanted with, spare ones before the project began. */
static bool add_mordants(struct book *book, int64_t owner, const char *skeins,
                         struct text *out, struct error *err)
{
    const struct ask_filter any = ask_filter_any();
    int64_t *ids = NULL;
    size_t n = 0;
    bool ok = true;

    if (!skeins || !record_skeins(book, owner, skeins, &ids, &n, NULL, err))
        return !skeins || err->kind == ERR_MISSING || err->kind == ERR_INPUT;
    for (size_t i = 0; ok && i < n; i++) {
        struct ask_skein a;
        if (!ask_skein(book, ids[i], &any, &a, err)) {
            ok = err->kind == ERR_MISSING; /* new in this act, and bare */
            continue;
        }
        ok = beware_names(book, a.mordants, take_caution, out, err);
        ask_skein_clear(&a);
    }
    free(ids);
    return ok;
}

bool project_beware(struct book *book, int64_t owner, struct project *p,
                    struct error *err)
{
    struct text *out = &p->caution;
    bool jar = false;

    for (size_t i = 0; i < p->tasks; i++) {
        const struct project_task *t = &p->task[i];
        jar = jar || (t->vessel && strstr(t->vessel, "jar"));
        for (size_t k = 0; k < t->doses; k++)
            if (!beware_named(book, t->dose[k].name, take_caution, out, err))
                return false;
        if (!strcmp(t->kind, "dye") &&
            !add_mordants(book, owner, t->skeins, out, err))
            return false;
    }
    if (p->said && strstr(p->said, "sadden"))
        add_line(out, "", caution_general("saddening")->text);
    if (jar)
        add_line(out, "", caution_general("glass jar")->text);
    if (p->tasks) {
        add_line(out, "", caution_general("gloves")->text);
        add_line(out, "", caution_general("heat")->text);
        add_line(out, "", caution_general("pots")->text);
    }
    return true;
}
