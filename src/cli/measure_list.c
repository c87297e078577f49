/*
 * hanklab measure --list: many photos, each for itself, several at a time. Each
 * is read in a process of its own, so that whatever a file does to that one
 * stops no other; only this one reads and writes the book, in the order of the
 * list.
 */
#include "cli/measure_list.h"

#include <errno.h>
#include <poll.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/bytes.h"
#include "base/mem.h"

#define LIST_MAX_BYTES (64u << 20)

enum {
    CORES_MOST = 64,
    AHEAD = 4, /* photos for each core that may be done before their turn */
};

/* What a worker says first; behind it the result as far as it is filled. */
struct head {
    bool ok;
    struct error why;
    struct taps taps;
    struct box card_box, box[MEASURE_MAX_REGIONS];
};

struct worker {
    pid_t pid; /* 0: free */
    int from;
    size_t shot;
    unsigned char *said;
    size_t bytes;
};

struct list {
    struct cli *cli;
    struct measure_shots shots;
    struct done {
        bool is, ok;
        struct error why;
    } * done;
    size_t next, told; /* the next to be begun, and to be told */
    struct worker worker[CORES_MOST];
    size_t cores;
    struct json json;
    struct text_table table;
    struct text notes;
    bool any; /* there is a colour in the table */
};

/* ---- a worker ------------------------------------------------------------ */

static size_t filled(const struct measure_result *result)
{
    return offsetof(struct measure_result, region) +
           result->regions * sizeof result->region[0];
}

/* The book is not touched here: its connection is the parent's. */
static _Noreturn void work(struct measure_job *job, int to)
{
    struct head *head = mem_new(1, sizeof *head);

    head->ok = taps_find(&job->taps, job->data, job->size, &job->request,
                         job->box, job->places, &head->why) &&
               taps_measure(&job->taps, job->data, job->size, &job->request,
                            job->result, &head->why);
    head->taps = job->taps;
    head->card_box = job->request.card_box;
    memcpy(head->box, job->box, sizeof head->box);
    _exit(bytes_write(to, head, sizeof *head) &&
                  bytes_write(to, job->result, filled(job->result))
              ? 0
              : 1);
}

/* ---- beginning ------------------------------------------------------------
 */

/* What is asked of one photo: its own options and those for all. */
static bool read_shot(struct cli *cli, struct measure_shot *shot,
                      struct error *err)
{
    struct cli_given *const given = cli->given;
    const size_t count = cli->given_count;
    bool ok;

    cli->given = shot->given;
    cli->given_count = shot->given_count;
    shot->job = measure_job_new();
    ok = measure_request_read(cli, shot->job, err);
    cli->given = given;
    cli->given_count = count;
    return ok && file_load(shot->path, PHOTO_MAX_BYTES, &shot->job->data,
                           &shot->job->size, err);
}

static void fail(struct list *l, size_t shot, const struct error *why)
{
    l->done[shot] = (struct done){.is = true, .why = *why};
}

static bool begin_worker(struct worker *w, struct measure_job *job,
                         struct error *err)
{
    int ends[2];

    if (pipe(ends))
        return error_set(err, ERR_STORE, "no process can be made: %s",
                         strerror(errno));
    w->pid = fork();
    if (w->pid == 0) {
        close(ends[0]);
        work(job, ends[1]);
    }
    close(ends[1]);
    w->from = ends[0];
    if (w->pid > 0)
        return true;
    close(ends[0]);
    w->pid = 0;
    return error_set(err, ERR_STORE, "no process can be made: %s",
                     strerror(errno));
}

static struct worker *free_worker(struct list *l)
{
    for (size_t i = 0; i < l->cores; i++)
        if (!l->worker[i].pid)
            return &l->worker[i];
    return NULL;
}

static void begin_next(struct list *l, struct worker *w)
{
    struct measure_shot *shot = &l->shots.at[l->next];
    struct error why = {0};

    *w = (struct worker){.shot = l->next};
    if (!read_shot(l->cli, shot, &why) || !begin_worker(w, shot->job, &why))
        fail(l, l->next, &why);
    l->next++;
}

/* ---- what a worker says ---------------------------------------------------
 */

/* False at its end. */
static bool take_some(struct worker *w)
{
    unsigned char some[16384];
    ssize_t n;

    do
        n = read(w->from, some, sizeof some);
    while (n < 0 && errno == EINTR);
    if (n <= 0)
        return false;
    w->said = mem_resize(w->said, w->bytes + (size_t)n, 1);
    memcpy(w->said + w->bytes, some, (size_t)n);
    w->bytes += (size_t)n;
    return true;
}

static void take_all(struct list *l, struct worker *w, bool sound)
{
    struct measure_job *job = l->shots.at[w->shot].job;
    struct done *done = &l->done[w->shot];
    struct head *head = (struct head *)(void *)w->said;
    const size_t rest = w->bytes - sizeof *head;

    done->is = true;
    if (!sound || w->bytes < sizeof *head || rest > sizeof *job->result) {
        error_set(&done->why, ERR_INPUT,
                  "reading it ended the program that did: it is damaged, or "
                  "there was no memory");
        return;
    }
    done->ok = head->ok;
    done->why = head->why;
    job->taps = head->taps;
    job->request.card_box = head->card_box;
    memcpy(job->box, head->box, sizeof job->box);
    memcpy(job->result, w->said + sizeof *head, rest);
}

static void end_worker(struct list *l, struct worker *w)
{
    int status = -1;

    close(w->from);
    while (waitpid(w->pid, &status, 0) < 0 && errno == EINTR)
        continue;
    take_all(l, w, status == 0);
    free(w->said);
    *w = (struct worker){0};
}

/* Waits until one of them says something. */
static void listen_to_all(struct list *l)
{
    struct pollfd fds[CORES_MOST];
    struct worker *of[CORES_MOST];
    nfds_t n = 0;

    for (size_t i = 0; i < l->cores; i++) {
        if (!l->worker[i].pid)
            continue;
        of[n] = &l->worker[i];
        fds[n++] = (struct pollfd){.fd = l->worker[i].from, .events = POLLIN};
    }
    if (poll(fds, n, -1) < 0)
        return;
    for (nfds_t i = 0; i < n; i++)
        if (fds[i].revents && !take_some(of[i]))
            end_worker(l, of[i]);
}

/* ---- telling ---------------------------------------------------------------
 */

/* "a.jpg, 137" */
static void label(const struct measure_shot *shot, size_t place,
                  struct text *out)
{
    char who[80];

    text_reset(out);
    measure_label(&shot->job->place[place], place, who, sizeof who);
    text_addf(out, "%s, %s", shot->path, who);
}

static void tell_json(struct list *l, const struct measure_shot *shot,
                      const struct done *done)
{
    json_add_object(&l->json, NULL);
    json_add_string(&l->json, "file", shot->path);
    if (done->ok)
        measure_json_photo(&l->json, shot->job);
    else
        json_add_string(&l->json, "refused", done->why.text);
    json_end(&l->json);
}

static void tell_notes(struct list *l, const char *who,
                       const struct measure_notes *notes)
{
    for (size_t i = 0; i < notes->count; i++)
        text_addf(&l->notes, "%s: %s\n", who, notes->text[i]);
}

static void tell_rows(struct list *l, const struct measure_shot *shot)
{
    const struct measure_job *job = shot->job;
    struct text who = {0};

    tell_notes(l, shot->path, &job->result->card_notes);
    for (size_t i = 0; i < job->places; i++) {
        const struct measure_region *region = &job->result->region[i];

        label(shot, i, &who);
        tell_notes(l, text_str(&who), &region->notes);
        if (region->refused)
            continue;
        if (!l->any)
            measure_table_begin(&l->table);
        measure_table_add(&l->table, text_str(&who), region);
        l->any = true;
    }
    text_clear(&who);
}

/* To standard error at once, so that a long list can be mended meanwhile. */
static void tell_refusals(struct list *l, const struct measure_shot *shot,
                          const struct done *done)
{
    struct text who = {0};

    if (!done->ok) {
        cli_note("hanklab: %s: %s", shot->path, done->why.text);
        l->cli->exit = 1;
        return;
    }
    for (size_t i = 0; i < shot->job->places; i++) {
        if (!shot->job->result->region[i].refused)
            continue;
        label(shot, i, &who);
        cli_note("hanklab: %s: %s", text_str(&who),
                 shot->job->result->region[i].why);
        l->cli->exit = 1;
    }
    text_clear(&who);
}

static bool tell_doubts(struct list *l, const struct measure_shot *shot,
                        struct error *err)
{
    struct text who = {0};
    bool ok = true;

    for (size_t i = 0; ok && i < shot->job->places; i++) {
        const int64_t reading = shot->job->place[i].reading_id;

        label(shot, i, &who);
        ok = !reading ||
             measure_tell_doubt(l->cli, text_str(&who), reading, err);
    }
    text_clear(&who);
    return ok;
}

/* Over what it said before, on a terminal. */
static void tell_progress(const struct list *l)
{
    if (isatty(STDERR_FILENO))
        fprintf(stderr, "\r%zu of %zu photos%s", l->told, l->shots.count,
                l->told == l->shots.count ? "\n" : "");
}

/* Keeps the next and says what came of it. */
static bool tell_next(struct list *l, struct error *err)
{
    struct measure_shot *shot = &l->shots.at[l->told];
    struct done *done = &l->done[l->told];

    done->ok = done->ok && measure_keep(l->cli, shot->job, &done->why);
    if (l->cli->json)
        tell_json(l, shot, done);
    else if (done->ok)
        tell_rows(l, shot);
    tell_refusals(l, shot, done);
    if (done->ok && !tell_doubts(l, shot, err))
        return false;
    measure_job_free(shot->job);
    shot->job = NULL;
    l->told++;
    tell_progress(l);
    return true;
}

static void tell_begin(struct list *l)
{
    if (!l->cli->json)
        return;
    l->json = json_to(&l->cli->out);
    json_add_object(&l->json, NULL);
    json_add_array(&l->json, "photos");
}

static void tell_end(struct list *l)
{
    if (l->cli->json) {
        json_end(&l->json);
        json_add_string(&l->json, "colour", MEASURE_COLOUR);
        json_end(&l->json);
    } else if (l->any) {
        measure_table_end(l->cli, &l->table);
    }
    if (!l->cli->json && !l->cli->csv)
        text_add(&l->cli->out, text_str(&l->notes));
}

/* ---- the whole -------------------------------------------------------------
 */

static bool read_options(struct list *l, struct error *err)
{
    static const char *const of_all[] = {
        "list", "cores",          "card",      "card-lab", "card-u", "wet",
        "part", "assume-profile", "no-camera", "book",     "json",   "csv"};
    const long there = sysconf(_SC_NPROCESSORS_ONLN);
    long long cores = there < 1 ? 1 : there < CORES_MOST ? there : CORES_MOST;

    for (size_t i = 0; i < l->cli->given_count; i++) {
        const char *name = l->cli->given[i].option->name;
        bool is = false;

        for (size_t k = 0; k < ARRAY_LEN(of_all); k++)
            is = is || !strcmp(of_all[k], name);
        if (!is)
            return cli_usage(l->cli, err, "--%s does not go with --list", name);
    }
    if (!cli_whole(l->cli, "cores", 1, CORES_MOST, &cores, err))
        return false;
    l->cores = (size_t)cores;
    return true;
}

static bool read_list(struct list *l, struct error *err)
{
    const char *path = cli_value(l->cli, "list");
    unsigned char *bytes;
    char *text;
    size_t size;
    bool ok;

    if (!file_load(path, LIST_MAX_BYTES, &bytes, &size, err))
        return false;
    text = mem_text_n((const char *)bytes, size);
    free(bytes);
    ok = measure_list_parse(l->cli, path, text, &l->shots, err);
    free(text);
    return ok;
}

static bool measure_each(struct list *l, struct error *err)
{
    struct worker *w;

    while (l->told < l->shots.count) {
        while (l->next < l->shots.count &&
               l->next < l->told + AHEAD * l->cores &&
               (w = free_worker(l)) != NULL)
            begin_next(l, w);
        if (!l->done[l->told].is)
            listen_to_all(l);
        else if (!tell_next(l, err))
            return false;
    }
    return true;
}

bool measure_list(struct cli *cli, struct error *err)
{
    struct list l = {.cli = cli};
    bool ok = read_options(&l, err) && read_list(&l, err);

    if (ok) {
        l.done = mem_new(l.shots.count, sizeof *l.done);
        tell_begin(&l);
        ok = measure_each(&l, err);
        tell_end(&l);
    }
    for (size_t i = 0; i < l.cores; i++)
        if (l.worker[i].pid)
            end_worker(&l, &l.worker[i]);
    measure_shots_clear(&l.shots);
    text_clear(&l.notes);
    free(l.done);
    return ok;
}
