/* hanklab backup, restore, check: copies of the whole book, and whether it is
 * sound. */
#include "cli/commands.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "base/json.h"
#include "base/mem.h"
#include "book/backup.h"
#include "book/check.h"

/* "photo 12 of 340" in one line of the terminal, which the answer replaces. */
static void tell(void *data, size_t done, size_t of)
{
    (void)data;
    if (isatty(STDERR_FILENO))
        fprintf(stderr, "\rphoto %zu of %zu%s", done, of,
                done == of ? "\r\033[K" : "");
}

/* ---- copies -------------------------------------------------------------- */

static void tell_done(struct cli *cli, const char *what, const char *to,
                      const struct backup_done *done)
{
    if (cli->json) {
        struct json j = json_to(&cli->out);

        json_add_object(&j, NULL);
        json_add_string(&j, "folder", to);
        json_add_whole(&j, "photos", (int64_t)done->photos);
        json_add_whole(&j, "fresh", (int64_t)done->fresh);
        json_add_whole(&j, "unsound", (int64_t)done->unsound);
        json_end(&j);
        return;
    }
    text_addf(&cli->out, "%s %s: all records, %zu photo%s, %zu of them new.\n",
              what, to, done->photos, done->photos == 1 ? "" : "s",
              done->fresh);
    if (done->unsound)
        text_addf(&cli->out,
                  "%zu not copied, for they are not sound in the book "
                  "(\"hanklab check\" tells more):\n%s",
                  done->unsound, text_str(&done->told));
}

static bool run_backup(struct cli *cli, struct error *err)
{
    const struct backup_watch watch = {.tell = tell};
    struct backup_done done = {0};
    const bool ok = cli_book(cli, err) &&
                    backup_copy(cli->book, cli->word[0], &watch, &done, err);

    if (ok) {
        tell_done(cli, "Copied into", cli->word[0], &done);
        cli->exit = done.unsound > 0;
    }
    backup_done_clear(&done);
    return ok;
}

static bool run_restore(struct cli *cli, struct error *err)
{
    const struct backup_watch watch = {.tell = tell};
    struct backup_done done = {0};
    struct book *book = NULL;
    char *to =
        cli->word_count > 1 ? mem_text(cli->word[1]) : cli_book_folder(cli);
    const bool ok = backup_restore(cli->word[0], to, &watch, &done, err) &&
                    book_open(to, &book, err);

    if (ok) {
        tell_done(cli, "Brought back into", to, &done);
        cli->exit = done.unsound > 0;
    }
    book_close(book);
    backup_done_clear(&done);
    free(to);
    return ok;
}

const struct cli_command command_backup = {
    "backup",
    "DIR",
    "copy the whole book into a folder",
    "The copy is a book itself: records and photos. Into an earlier copy goes\n"
    "what is new, so that it is quick to do after each dyeing; best into a\n"
    "folder on another disk. The book may be in use meanwhile. What was cut "
    "off\n"
    "is gone on with by saying it again.",
    NULL,
    0,
    1,
    1,
    run_backup,
};

const struct cli_command command_restore = {
    "restore",
    "DIR [FOLDER]",
    "make a book from a copy",
    "DIR is a folder that \"hanklab backup\" has written; it is only read. "
    "The\n"
    "new book is made in FOLDER, without it where the book usually is, and\n"
    "never over a book that is there.",
    NULL,
    0,
    1,
    2,
    run_restore,
};

/* ---- check --------------------------------------------------------------- */

static void tell_json(struct cli *cli, const struct check *c)
{
    struct json j = json_to(&cli->out);

    json_add_object(&j, NULL);
    json_add_whole(&j, "skeins", (int64_t)c->skeins);
    json_add_whole(&j, "photos", (int64_t)c->photos);
    json_add_whole(&j, "readings", (int64_t)c->readings);
    json_add_whole(&j, "faults", (int64_t)c->faults);
    json_add_whole(&j, "mended", (int64_t)c->mended);
    json_add_whole(&j, "unnamed", (int64_t)c->unnamed);
    json_add_whole(&j, "leftover", (int64_t)c->leftover);
    json_add_string(&j, "told", text_str(&c->told));
    json_end(&j);
}

static void add_count(struct text *out, size_t n, const char *what,
                      const char *then)
{
    text_addf(out, "%zu %s%s%s", n, what, n == 1 ? "" : "s", then);
}

static void tell_check(struct cli *cli, const struct check *c, bool mend)
{
    text_add(&cli->out, "Looked at ");
    add_count(&cli->out, c->skeins, "skein", ", ");
    add_count(&cli->out, c->photos, "photo", ", ");
    add_count(&cli->out, c->readings, "reading", ".\n");
    text_add(&cli->out, text_str(&c->told));
    if (c->faults == c->mended)
        text_add(&cli->out, c->faults ? "All of it was mended.\n"
                                      : "The book is sound.\n");
    else
        text_addf(&cli->out,
                  "%zu fault%s left. \"hanklab check --mend\" mends what can "
                  "be without guessing, with --from DIR photos from a copy; a "
                  "damaged database is brought back by \"hanklab restore "
                  "DIR\".\n",
                  c->faults - c->mended,
                  c->faults - c->mended == 1 ? " is" : "s are");
    if (c->leftover)
        text_addf(&cli->out, "%zu file%s of a writing that was cut off%s.\n",
                  c->leftover, c->leftover == 1 ? "" : "s",
                  mend ? " removed" : ", harmless; --mend removes them");
    if (c->unnamed)
        text_addf(&cli->out,
                  "%zu picture%s in the folder that no record names: harmless, "
                  "left alone.\n",
                  c->unnamed, c->unnamed == 1 ? " lies" : "s lie");
}

static bool run_check(struct cli *cli, struct error *err)
{
    const struct check_wish wish = {.mend = cli_has(cli, "mend"),
                                    .from = cli_value(cli, "from"),
                                    .tell = tell};
    struct check check = {0};
    bool ok;

    if (wish.from && !wish.mend)
        return cli_usage(cli, err,
                         "--from takes photos from a copy: say --mend");
    ok = cli_book(cli, err) && check_book(cli->book, &wish, &check, err);
    if (ok && cli->json)
        tell_json(cli, &check);
    else if (ok)
        tell_check(cli, &check, wish.mend);
    if (ok)
        cli->exit = check.faults > check.mended;
    check_clear(&check);
    return ok;
}

static const struct cli_option check_options[] = {
    {"mend", NULL, "mend what can be mended without guessing"},
    {"from", "DIR",
     "a copy of the book, to take photos from that are lost or "
     "damaged here"},
};

const struct cli_command command_check = {
    "check",
    "",
    "see whether the book is sound",
    "Looks at the database, at every photo's bytes, and at what is kept for\n"
    "looking up. Without --mend nothing is changed. Records are never mended:\n"
    "what is lost of them is in a copy (\"hanklab restore\").",
    check_options,
    ARRAY_LEN(check_options),
    0,
    0,
    run_check,
};
