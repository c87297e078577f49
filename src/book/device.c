/*
 * Devices that may open a shared page. See book/device.h.
 *
 * The file "devices" in the book's folder: a line each, its words apart by
 * tabs.
 *
 *     hanklab devices 1
 *     at      ADDRESS                          where the page is shared
 *     code    DIGITS UNTIL WRONG NOT-BEFORE    UTC milliseconds
 *     device  NUMBER SHA-256 PAIRED SEEN NAME  "-": sent away
 *     former  NAME                             that a device had
 */
#include "book/device.h"

#include <errno.h>
#include <fcntl.h>
#include <nettle/sha2.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#include "base/day.h"
#include "base/disk.h"
#include "base/mem.h"
#include "base/random.h"
#include "base/text.h"

#define HEAD "hanklab devices 1"
#define HASH_CHARS ((size_t)2 * SHA256_DIGEST_SIZE)
#define MOST_BYTES (4L << 20)

struct entry {
    struct device shown;
    char hash[HASH_CHARS + 1]; /* "-": revoked */
};

struct file {
    const char *folder;
    int lock; /* held while it is not -1 */
    char *at;
    char code[DEVICE_CODE_CHARS + 1]; /* "": none */
    long long until, not_before, wrong;
    struct entry *entry;
    size_t entries;
    char **former;
    size_t formers;
};

static int64_t now_ms(void)
{
    struct timespec t;

    clock_gettime(CLOCK_REALTIME, &t);
    return (int64_t)t.tv_sec * 1000 + t.tv_nsec / 1000000;
}

static void hash_of(const char *token, char out[HASH_CHARS + 1])
{
    struct sha256_ctx ctx;
    uint8_t digest[SHA256_DIGEST_SIZE];

    sha256_init(&ctx);
    sha256_update(&ctx, strlen(token), (const uint8_t *)token);
    sha256_digest(&ctx, sizeof digest, digest);
    hex_of(digest, sizeof digest, out);
}

/* ---- the file ------------------------------------------------------------ */

static void file_clear(struct file *f)
{
    for (size_t i = 0; i < f->entries; i++)
        free(f->entry[i].shown.name);
    for (size_t i = 0; i < f->formers; i++)
        free(f->former[i]);
    free(f->entry);
    free(f->former);
    free(f->at);
    if (f->lock >= 0)
        close(f->lock);
    *f = (struct file){.lock = -1};
}

/* Splits a line at its tabs; the last word takes the rest. */
static size_t split(char *line, char *word[], size_t most)
{
    size_t n = 0;

    while (n < most) {
        word[n++] = line;
        line = n < most ? strchr(line, '\t') : NULL;
        if (!line)
            break;
        *line++ = '\0';
    }
    return n;
}

static bool take_code(struct file *f, char *word[])
{
    if (strlen(word[1]) != DEVICE_CODE_CHARS ||
        !text_whole(word[2], &f->until) || !text_whole(word[3], &f->wrong) ||
        !text_whole(word[4], &f->not_before))
        return false;
    memcpy(f->code, word[1], sizeof f->code);
    return true;
}

static bool take_device(struct file *f, char *word[])
{
    struct entry *e;
    struct day day;
    long long number;
    const bool revoked = !strcmp(word[2], "-");

    if (!text_whole(word[1], &number) || number < 1 || number > INT32_MAX ||
        (!revoked && strlen(word[2]) != HASH_CHARS) ||
        !day_from_iso(word[3], &day) || !day_from_iso(word[4], &day))
        return false;
    f->entry = mem_room(f->entry, f->entries, sizeof *f->entry);
    e = &f->entry[f->entries++];
    *e = (struct entry){.shown = {.number = (int)number,
                                  .name = mem_text(word[5]),
                                  .revoked = revoked}};
    memcpy(e->hash, word[2], strlen(word[2]));
    memcpy(e->shown.paired_on, word[3], sizeof e->shown.paired_on);
    memcpy(e->shown.seen_on, word[4], sizeof e->shown.seen_on);
    return true;
}

static bool take_line(struct file *f, char *line)
{
    char *word[6];
    const size_t n = split(line, word, 6);

    if (n == 2 && !strcmp(word[0], "at") && !f->at) {
        f->at = mem_text(word[1]);
        return true;
    }
    if (n == 2 && !strcmp(word[0], "former")) {
        f->former = mem_room(f->former, f->formers, sizeof *f->former);
        f->former[f->formers++] = mem_text(word[1]);
        return true;
    }
    return (n == 5 && !strcmp(word[0], "code") && take_code(f, word)) ||
           (n == 6 && !strcmp(word[0], "device") && take_device(f, word));
}

static bool take(struct file *f, char *bytes)
{
    char *end = strchr(bytes, '\n');

    if (!end)
        return false;
    *end = '\0';
    if (strcmp(bytes, HEAD) != 0)
        return false;
    for (bytes = end + 1; *bytes; bytes = end + 1) {
        end = strchr(bytes, '\n');
        if (!end)
            return false;
        *end = '\0';
        if (!take_line(f, bytes))
            return false;
    }
    return true;
}

static void add_path(const char *folder, const char *name, struct text *out)
{
    text_addf(out, "%s/%s", folder, name);
}

/* The whole of a file that is there, with a NUL; NULL and errno. */
static char *slurp(const char *path)
{
    struct text t = {0};
    char part[4096];
    FILE *f = fopen(path, "r");
    size_t n;

    if (!f)
        return NULL;
    while ((n = fread(part, 1, sizeof part, f)) && t.len < MOST_BYTES)
        text_add_n(&t, part, n);
    if (ferror(f)) {
        text_clear(&t);
        fclose(f);
        return NULL;
    }
    fclose(f);
    return text_take(&t);
}

/* None is as good as an empty one. Release with file_clear in any case. */
static bool file_read(const char *folder, struct file *out, struct error *err)
{
    struct text path = {0};
    char *bytes;
    bool ok = true;

    *out = (struct file){.folder = folder, .lock = -1};
    add_path(folder, "devices", &path);
    bytes = slurp(path.s);
    if (!bytes && errno != ENOENT)
        ok = error_set(err, ERR_STORE, "%s cannot be read: %s", path.s,
                       strerror(errno));
    else if (bytes && !take(out, bytes))
        ok = error_set(err, ERR_STORE,
                       "%s is damaged: remove it, and let each device in anew",
                       path.s);
    free(bytes);
    text_clear(&path);
    return ok;
}

/* The same, and nobody else writes it until file_clear. */
static bool file_take(const char *folder, struct file *out, struct error *err)
{
    struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};
    struct text path = {0};
    int fd;
    bool ok;

    *out = (struct file){.lock = -1};
    add_path(folder, "devices.lock", &path);
    fd = open(path.s, O_RDWR | O_CREAT | O_CLOEXEC, 0600);
    ok = fd >= 0 && !fcntl(fd, F_SETLKW, &whole);
    if (!ok)
        error_set(err, ERR_STORE, "%s cannot be locked: %s", path.s,
                  strerror(errno));
    text_clear(&path);
    ok = ok && file_read(folder, out, err);
    out->lock = fd;
    return ok;
}

static bool file_write(const struct file *f, struct error *err)
{
    struct text path = {0}, t = {0};
    bool ok;

    text_add(&t, HEAD "\n");
    if (f->at)
        text_addf(&t, "at\t%s\n", f->at);
    if (*f->code)
        text_addf(&t, "code\t%s\t%lld\t%lld\t%lld\n", f->code, f->until,
                  f->wrong, f->not_before);
    for (size_t i = 0; i < f->entries; i++) {
        const struct entry *e = &f->entry[i];
        text_addf(&t, "device\t%d\t%s\t%s\t%s\t%s\n", e->shown.number, e->hash,
                  e->shown.paired_on, e->shown.seen_on, e->shown.name);
    }
    for (size_t i = 0; i < f->formers; i++)
        text_addf(&t, "former\t%s\n", f->former[i]);
    add_path(f->folder, "devices", &path);
    ok = disk_write_secret(path.s, t.s, t.len, "no device was changed", err);
    text_clear(&path);
    text_clear(&t);
    return ok;
}

/* ---- those that are in --------------------------------------------------- */

bool device_list(const char *folder, struct device **out, size_t *count,
                 struct error *err)
{
    struct file f;
    const bool ok = file_read(folder, &f, err);

    *count = ok ? f.entries : 0;
    *out = ok ? mem_new(*count, sizeof **out) : NULL;
    for (size_t i = 0; i < *count; i++) {
        (*out)[i] = f.entry[i].shown;
        f.entry[i].shown.name = NULL;
    }
    file_clear(&f);
    return ok;
}

void device_list_free(struct device *devices, size_t count)
{
    for (size_t i = 0; i < count; i++)
        free(devices[i].name);
    free(devices);
}

static struct entry *find(struct file *f, const char *which, struct error *err)
{
    long long number = 0;
    const bool numbered = text_whole(which, &number);

    for (size_t i = 0; i < f->entries; i++)
        if (text_same(f->entry[i].shown.name, which))
            return &f->entry[i];
    for (size_t i = 0; numbered && i < f->entries; i++)
        if (f->entry[i].shown.number == number)
            return &f->entry[i];
    error_set(err, ERR_MISSING,
              "no device is called \"%s\": \"hanklab device list\" has them",
              which);
    return NULL;
}

bool device_revoke(const char *folder, const char *which, struct error *err)
{
    struct file f;
    struct entry *e = NULL;
    bool ok = file_take(folder, &f, err) && (e = find(&f, which, err));

    if (ok && e->shown.revoked)
        ok = error_set(err, ERR_INPUT, "device %d, %s, was sent away already",
                       e->shown.number, e->shown.name);
    if (ok) {
        strcpy(e->hash, "-");
        ok = file_write(&f, err);
    }
    file_clear(&f);
    return ok;
}

/* What the history says of acts that no device did. */
static bool is_ours(const char *name)
{
    static const char *const ours[] = {"page", "command line", "import"};

    for (size_t i = 0; i < ARRAY_LEN(ours); i++)
        if (text_same(name, ours[i]))
            return true;
    return false;
}

/* Whether a device may be called so; own is the one that is, or NULL. */
static bool name_fits(const struct file *f, const struct entry *own,
                      const char *name, struct error *err)
{
    bool taken = false, control = false;
    long long number;

    for (const char *s = name; *s; s++)
        control = control || (unsigned char)*s < ' ' || *s == 0x7F;
    if (!*name || control || strlen(name) > DEVICE_NAME_MAX ||
        !text_is_utf8(name, strlen(name)))
        return error_set(err, ERR_INPUT,
                         "name: at most %d letters, on one line",
                         DEVICE_NAME_MAX);
    if (text_whole(name, &number))
        return error_set(err, ERR_INPUT,
                         "name: \"%s\" would be taken for a device's number: "
                         "use a word",
                         name);
    for (size_t i = 0; i < f->entries; i++)
        taken = taken || (&f->entry[i] != own &&
                          text_same(name, f->entry[i].shown.name));
    for (size_t i = 0; i < f->formers; i++)
        taken = taken || text_same(name, f->former[i]);
    if (taken || is_ours(name))
        return error_set(err, ERR_INPUT,
                         "name: \"%s\" is or was the name of another, and the "
                         "history must tell them apart: choose a new one",
                         name);
    return true;
}

bool device_rename(const char *folder, const char *which, const char *name,
                   struct error *err)
{
    struct file f;
    struct entry *e = NULL;
    char *trimmed = text_trim(name);
    bool ok = file_take(folder, &f, err) && (e = find(&f, which, err)) &&
              name_fits(&f, e, trimmed, err);

    if (ok) {
        f.former = mem_room(f.former, f.formers, sizeof *f.former);
        f.former[f.formers++] = e->shown.name;
        e->shown.name = mem_text(trimmed);
        ok = file_write(&f, err);
    }
    file_clear(&f);
    free(trimmed);
    return ok;
}

/* Once a day, so that a forgotten device can be told from one in use. */
static bool note_seen(const char *folder, int number, const char *today,
                      struct error *err)
{
    struct file f;
    bool ok = file_take(folder, &f, err);

    for (size_t i = 0; ok && i < f.entries; i++)
        if (f.entry[i].shown.number == number)
            memcpy(f.entry[i].shown.seen_on, today,
                   sizeof f.entry[i].shown.seen_on);
    ok = ok && file_write(&f, err);
    file_clear(&f);
    return ok;
}

bool device_known(const char *folder, const char *token, char **name,
                  struct error *err)
{
    char hash[HASH_CHARS + 1], today[11];
    struct file f;
    int number = 0;
    bool seen = true, ok;

    *name = NULL;
    if (strlen(token) != DEVICE_TOKEN_CHARS)
        return true;
    hash_of(token, hash);
    day_iso(day_today(), today);
    ok = file_read(folder, &f, err);
    for (size_t i = 0; ok && i < f.entries; i++)
        if (secret_same(hash, f.entry[i].hash)) {
            *name = mem_text(f.entry[i].shown.name);
            number = f.entry[i].shown.number;
            seen = !strcmp(f.entry[i].shown.seen_on, today);
        }
    file_clear(&f);
    if (ok && !seen && !note_seen(folder, number, today, err)) {
        free(*name);
        *name = NULL;
        return false;
    }
    return ok;
}

/* ---- letting one in ------------------------------------------------------ */

/* Whether the code is good at this moment; a clock that was put back makes none
 * good for longer. */
static bool is_good(const struct file *f, int64_t now)
{
    return *f->code && f->wrong < DEVICE_WRONG_MAX && f->until > now &&
           f->until - now <= DEVICE_CODE_MINUTES * INT64_C(60000);
}

static void offer_of(struct file *f, struct device_offer *out)
{
    if (is_good(f, now_ms())) {
        memcpy(out->code, f->code, sizeof out->code);
        out->until = f->until;
    }
    out->at = mem_text(f->at);
}

bool device_offer_now(const char *folder, struct device_offer *out,
                      struct error *err)
{
    struct file f;
    const bool ok = file_read(folder, &f, err);

    *out = (struct device_offer){0};
    if (ok)
        offer_of(&f, out);
    file_clear(&f);
    return ok;
}

bool device_offer_new(const char *folder, struct device_offer *out,
                      struct error *err)
{
    struct file f;
    uint64_t any;
    bool ok = random_fill(&any, sizeof any, err);

    *out = (struct device_offer){0};
    if (!ok)
        return false;
    ok = file_take(folder, &f, err);
    if (ok) {
        snprintf(f.code, sizeof f.code, "%06u", (unsigned)(any % 1000000));
        f.until = now_ms() + DEVICE_CODE_MINUTES * INT64_C(60000);
        f.wrong = f.not_before = 0;
        ok = file_write(&f, err);
    }
    if (ok)
        offer_of(&f, out);
    file_clear(&f);
    return ok;
}

void device_offer_clear(struct device_offer *offer)
{
    free(offer->at);
    *offer = (struct device_offer){0};
}

bool device_shared_at(const char *folder, const char *at, struct error *err)
{
    struct file f;
    bool ok = file_take(folder, &f, err);

    if (ok) {
        free(f.at);
        f.at = mem_text(at);
        if (!at)
            *f.code = '\0';
        ok = file_write(&f, err);
    }
    file_clear(&f);
    return ok;
}

/* The digits that were typed, as many as fit. */
static void digits_of(const char *typed, char out[DEVICE_CODE_CHARS + 2])
{
    size_t n = 0;

    for (; *typed && n <= DEVICE_CODE_CHARS; typed++)
        if (!strchr(" -\t", *typed))
            out[n++] = *typed;
    out[n] = '\0';
}

/* Counts a wrong one, and slows down the next. */
static bool count_wrong(struct file *f, int64_t now, struct error *err)
{
    f->not_before = now + (INT64_C(1000) << f->wrong);
    f->wrong++;
    if (!file_write(f, err))
        return false;
    if (f->wrong < DEVICE_WRONG_MAX)
        return error_set(err, ERR_INPUT, "code: that is not the one");
    return error_set(err, ERR_INPUT,
                     "code: wrong %d times, so it is good no more: ask for a "
                     "new one where the book is",
                     DEVICE_WRONG_MAX);
}

static bool check_code(struct file *f, const char *code, struct error *err)
{
    char digits[DEVICE_CODE_CHARS + 2];
    const int64_t now = now_ms(), wait = f->not_before - now;

    if (!is_good(f, now))
        return error_set(err, ERR_INPUT,
                         "code: none is good just now: ask for a new one where "
                         "the book is, on the page Devices or by \"hanklab "
                         "device add\"");
    if (wait > 0 && wait <= INT64_C(1000) << DEVICE_WRONG_MAX)
        return error_set(err, ERR_LIMIT,
                         "code: too soon after a wrong one: wait %d seconds "
                         "and type it again",
                         (int)((wait + 999) / 1000));
    digits_of(code, digits);
    return secret_same(digits, f->code) || count_wrong(f, now, err);
}

static int next_number(const struct file *f)
{
    int last = 0;

    for (size_t i = 0; i < f->entries; i++)
        if (f->entry[i].shown.number > last)
            last = f->entry[i].shown.number;
    return last + 1;
}

bool device_pair(const char *folder, const char *code, const char *name,
                 char token[DEVICE_TOKEN_CHARS + 1], struct error *err)
{
    unsigned char bytes[DEVICE_TOKEN_CHARS / 2];
    struct entry e = {0};
    struct text called = {0};
    char *trimmed = text_trim(name ? name : "");
    struct file f = {.lock = -1};
    bool ok = random_fill(bytes, sizeof bytes, err) &&
              file_take(folder, &f, err) && check_code(&f, code, err);

    if (ok) {
        e.shown.number = next_number(&f);
        text_add(&called, trimmed);
        if (!*trimmed)
            text_addf(&called, "device %d", e.shown.number);
        ok = name_fits(&f, NULL, text_str(&called), err);
    }
    if (ok) {
        hex_of(bytes, sizeof bytes, token);
        hash_of(token, e.hash);
        day_iso(day_today(), e.shown.paired_on);
        day_iso(day_today(), e.shown.seen_on);
        e.shown.name = text_take(&called);
        f.entry = mem_room(f.entry, f.entries, sizeof *f.entry);
        f.entry[f.entries++] = e;
        *f.code = '\0';
        ok = file_write(&f, err);
    }
    file_clear(&f);
    text_clear(&called);
    free(trimmed);
    return ok;
}

void device_mark(const char *secret, const char *token, char out[33])
{
    char hash[HASH_CHARS + 1];
    struct text both = {0};

    text_addf(&both, "%s %s", secret, token);
    hash_of(text_str(&both), hash);
    snprintf(out, 33, "%.32s", hash);
    text_clear(&both);
}
