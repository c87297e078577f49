/* What a power cut can leave of a folder. See power_support.h. */
#define _XOPEN_SOURCE 700 /* nftw */

#include "power_support.h"

#include <errno.h>
#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/text.h"

enum { SECTOR = 512, NONE = -1 };

enum kind { WRITE, SIZE, SYNC, MADE, FOLDER, GONE, NAME, KEPT, SAID };

/* A change: of a file, of a name, or what makes such sure. */
struct change {
    enum kind kind;
    int node;
    size_t at, size; /* of WRITE; SIZE has its size */
    const unsigned char *bytes;
    char *path, *to; /* to is of NAME */
};

/* A name on the disk: of a file, or of a folder (NONE). */
struct name {
    char *path;
    int node;
};

struct names {
    struct name *name;
    size_t count;
};

struct file {
    unsigned char *bytes;
    size_t size;
};

struct power {
    char *root;
    struct names first; /* when it began, and their files */
    struct file *file;  /* by node; those made later begin empty */
    size_t files, changes;
    unsigned long long *inode; /* of each node */
    struct change *change;
    unsigned char *record;
};

/* ---- names --------------------------------------------------------------- */

static void name_set(struct names *n, const char *path, int node)
{
    size_t i = 0;

    while (i < n->count && strcmp(n->name[i].path, path) != 0)
        i++;
    if (i == n->count) {
        n->name = mem_resize(n->name, ++n->count, sizeof *n->name);
        n->name[i].path = mem_text(path);
    }
    n->name[i].node = node;
}

static void name_drop(struct names *n, const char *path)
{
    for (size_t i = 0; i < n->count; i++) {
        if (strcmp(n->name[i].path, path) != 0)
            continue;
        free(n->name[i].path);
        n->name[i] = n->name[--n->count];
        return;
    }
}

static int name_node(const struct names *n, const char *path)
{
    for (size_t i = 0; i < n->count; i++)
        if (!strcmp(n->name[i].path, path))
            return n->name[i].node;
    return NONE;
}

static void names_clear(struct names *n)
{
    for (size_t i = 0; i < n->count; i++)
        free(n->name[i].path);
    free(n->name);
    *n = (struct names){0};
}

/* Whether a path lies in a folder, not deeper. */
static bool is_in(const char *path, const char *folder)
{
    const size_t n = strlen(folder);

    return !strncmp(path, folder, n) && path[n] == '/' &&
           !strchr(path + n + 1, '/');
}

/* ---- the record ---------------------------------------------------------- */

static int node_new(struct power *p, unsigned long long inode)
{
    p->file = mem_resize(p->file, p->files + 1, sizeof *p->file);
    p->inode = mem_resize(p->inode, p->files + 1, sizeof *p->inode);
    p->file[p->files] = (struct file){0};
    p->inode[p->files] = inode;
    return (int)p->files++;
}

/* The latest, for a number is used again when its file is gone. */
static int node_of(const struct power *p, unsigned long long inode)
{
    for (size_t i = p->files; i-- > 0;)
        if (p->inode[i] == inode)
            return (int)i;
    return NONE;
}

static struct power *beginning; /* nftw tells its function nothing */

static int look_at(const char *path, const struct stat *st, int flag,
                   struct FTW *at)
{
    struct file f = {0};
    int node = NONE;

    (void)at;
    if (flag == FTW_F) {
        node = node_new(beginning, (unsigned long long)st->st_ino);
        f.bytes = file_read(path, &f.size);
        beginning->file[node] = f;
    }
    name_set(&beginning->first, path, node);
    return 0;
}

struct power *power_new(const char *root)
{
    struct power *p = mem_new(1, sizeof *p);

    p->root = mem_text(root);
    beginning = p;
    assert_int_equal(nftw(root, look_at, 16, FTW_PHYS), 0);
    return p;
}

void power_free(struct power *p)
{
    if (!p)
        return;
    for (size_t i = 0; i < p->changes; i++) {
        free(p->change[i].path);
        free(p->change[i].to);
    }
    for (size_t i = 0; i < p->files; i++)
        free(p->file[i].bytes);
    names_clear(&p->first);
    free(p->file);
    free(p->inode);
    free(p->change);
    free(p->record);
    free(p->root);
    free(p);
}

/* Its names lie in root. What SQLite shares between programs ("-shm") is made
 * anew by the first that opens the book (walformat.html, 2.1), so that its
 * changes make no difference. */
static bool matters(const struct power *p, const char *path)
{
    const size_t n = strlen(p->root), len = strlen(path);

    return !strncmp(path, p->root, n) && (path[n] == '/' || !path[n]) &&
           (len < 4 || strcmp(path + len - 4, "-shm") != 0);
}

static void add_change(struct power *p, struct change c)
{
    p->change = mem_resize(p->change, p->changes + 1, sizeof *p->change);
    p->change[p->changes++] = c;
}

/* A change of names; now is what they are meanwhile. */
static void read_name(struct power *p, enum kind kind, const char *path,
                      unsigned long long inode, struct names *now)
{
    struct change c = {.kind = kind, .node = NONE};
    const char *tab = strchr(path, '\t');

    c.path = tab ? mem_text_n(path, (size_t)(tab - path)) : mem_text(path);
    if (tab)
        c.to = mem_text(tab + 1);
    if (kind == MADE) /* also what does not matter: its number may come again */
        c.node = node_new(p, inode);
    if (!matters(p, c.path)) {
        if (kind == MADE)
            p->inode[c.node] = 0;
        free(c.path);
        free(c.to);
        return;
    }
    if (kind == NAME)
        c.node = name_node(now, c.path);
    if (kind == MADE || kind == FOLDER)
        name_set(now, c.path, c.node);
    if (kind == GONE || kind == NAME)
        name_drop(now, c.path);
    if (kind == NAME)
        name_set(now, c.to, c.node);
    add_change(p, c);
}

/* A line, without its end. What follows a write is left in *rest. */
static void read_line(struct power *p, char *line, unsigned char **rest,
                      struct names *now)
{
    static const char *const words[] = {
        [WRITE] = "write",   [SIZE] = "size", [SYNC] = "sync",
        [MADE] = "made",     [GONE] = "gone", [NAME] = "name",
        [FOLDER] = "folder", [KEPT] = "kept", [SAID] = "said"};
    struct change c = {.kind = WRITE};
    char *word = line + strcspn(line, " "), *next = word;
    unsigned long long inode = 0;

    *word = '\0';
    while (c.kind < SAID && strcmp(line, words[c.kind]) != 0)
        c.kind++;
    assert_string_equal(line, words[c.kind]);
    if (c.kind == WRITE || c.kind == SIZE || c.kind == SYNC || c.kind == MADE)
        inode = strtoull(word + 1, &next, 10);
    if (c.kind == WRITE)
        c.at = strtoul(next, &next, 10);
    if (c.kind == WRITE || c.kind == SIZE)
        c.size = strtoul(next, &next, 10);
    if (c.kind == WRITE) {
        c.bytes = *rest;
        *rest += c.size;
    }
    if (c.kind >= MADE && c.kind <= KEPT) {
        read_name(p, c.kind, next + 1, inode, now);
        return;
    }
    c.node = c.kind == SAID ? NONE : node_of(p, inode);
    if (c.kind == SAID || c.node != NONE)
        add_change(p, c);
}

void power_read(struct power *p, const char *record)
{
    struct names now = {0};
    unsigned char *at, *end;
    size_t n;

    for (size_t i = 0; i < p->first.count; i++)
        name_set(&now, p->first.name[i].path, p->first.name[i].node);
    at = p->record = file_read(record, &n);
    end = at + n;
    while (at < end) {
        unsigned char *stop = memchr(at, '\n', (size_t)(end - at));
        char *line = (char *)at;

        assert_non_null(stop);
        *stop = '\0';
        at = stop + 1;
        read_line(p, line, &at, &now);
    }
    names_clear(&now);
}

size_t power_count(const struct power *p)
{
    return p->changes;
}

size_t power_said(const struct power *p, size_t n)
{
    size_t said = 0;

    for (size_t i = 0; i < n; i++)
        said += p->change[i].kind == SAID;
    return said;
}

enum power_stake power_stake(const struct power *p, size_t n)
{
    const enum kind last = n ? p->change[n - 1].kind : SAID;

    if (last == SAID || last == NAME)
        return POWER_ANSWERED;
    return last == WRITE || last == SIZE ? POWER_WRITTEN : POWER_SURE;
}

/* ---- the disk ------------------------------------------------------------ */

struct disk {
    const struct power *power;
    enum power_loss how;
    uint64_t chance;
    struct names names;
    struct file *file; /* by node */
    bool *sure;        /* by change */
};

/* Marsaglia's xorshift. */
static bool coin(struct disk *d)
{
    d->chance ^= d->chance << 13;
    d->chance ^= d->chance >> 7;
    d->chance ^= d->chance << 17;
    return d->chance >> 40 & 1;
}

static void set_size(struct file *f, size_t size)
{
    f->bytes = mem_resize(f->bytes, size + 1, 1);
    if (size > f->size)
        memset(f->bytes + f->size, 0, size - f->size);
    f->size = size;
}

/* The part of a write that lies from at on, size bytes. */
static void put(struct file *f, const struct change *c, size_t at, size_t size)
{
    if (at + size > f->size)
        set_size(f, at + size);
    memcpy(f->bytes + at, c->bytes + (at - c->at), size);
}

static void put_torn(struct disk *d, struct file *f, const struct change *c)
{
    size_t at = c->at;

    while (at < c->at + c->size) {
        size_t next = (at / SECTOR + 1) * SECTOR;

        if (next > c->at + c->size)
            next = c->at + c->size;
        if (coin(d))
            put(f, c, at, next - at);
        at = next;
    }
}

static void apply(struct disk *d, const struct change *c)
{
    switch (c->kind) {
    case WRITE:
        put(&d->file[c->node], c, c->at, c->size);
        break;
    case SIZE:
        set_size(&d->file[c->node], c->size);
        break;
    case MADE:
    case FOLDER:
        name_set(&d->names, c->path, c->node);
        break;
    case GONE:
        name_drop(&d->names, c->path);
        break;
    case NAME:
        name_drop(&d->names, c->path);
        name_set(&d->names, c->to, c->node);
        break;
    case SYNC:
    case KEPT:
    case SAID:
        break;
    }
}

static bool is_of_file(const struct change *c)
{
    return c->kind == WRITE || c->kind == SIZE;
}

static bool is_of_names(const struct change *c)
{
    return c->kind >= MADE && c->kind <= NAME;
}

/* What the nth change makes sure, in its order: of a file its writes, of a
 * folder its names. */
static void make_sure(struct disk *d, size_t n)
{
    const struct change *by = &d->power->change[n];

    for (size_t i = 0; i < n; i++) {
        const struct change *c = &d->power->change[i];

        if (d->sure[i] ||
            (by->kind == SYNC ? !is_of_file(c) || c->node != by->node
                              : !is_of_names(c) || !is_in(c->path, by->path)))
            continue;
        apply(d, c);
        d->sure[i] = true;
    }
}

/* One that is not sure. */
static void maybe(struct disk *d, const struct change *c)
{
    if (d->how == POWER_CHANCE && c->kind == WRITE && c->size > SECTOR &&
        coin(d) && coin(d))
        put_torn(d, &d->file[c->node], c);
    else if (d->how == POWER_ALL || (d->how == POWER_NAMES && is_of_names(c)) ||
             (d->how == POWER_WRITES && is_of_file(c)) ||
             (d->how == POWER_CHANCE && coin(d)))
        apply(d, c);
}

/* The path of what has a name in root, elsewhere. */
static char *moved(const struct disk *d, const char *path, const char *to)
{
    struct text t = {0};

    text_addf(&t, "%s%s", to, path + strlen(d->power->root));
    return text_take(&t);
}

static void write_file(const char *path, const struct file *f)
{
    FILE *out = fopen(path, "wb");

    if (!out) {
        assert_int_equal(errno, ENOENT); /* its folder is not there */
        return;
    }
    assert_int_equal(
        fwrite(f->bytes ? f->bytes : (unsigned char *)"", 1, f->size, out),
        f->size);
    assert_int_equal(fclose(out), 0);
}

static int by_path(const void *a, const void *b)
{
    return strcmp(((const struct name *)a)->path,
                  ((const struct name *)b)->path);
}

/* A folder comes before what lies in it. */
static void lay_out(struct disk *d, const char *to)
{
    if (d->names.count) /* root may be gone too */
        qsort(d->names.name, d->names.count, sizeof *d->names.name, by_path);
    for (size_t i = 0; i < d->names.count; i++) {
        const struct name *n = &d->names.name[i];
        char *path = moved(d, n->path, to);

        if (n->node == NONE)
            assert_true(mkdir(path, 0777) == 0 || errno == ENOENT);
        else
            write_file(path, &d->file[n->node]);
        free(path);
    }
}

void power_cut(const struct power *p, size_t n, enum power_loss how,
               uint64_t chance, const char *to)
{
    struct disk d = {p,   how,  (chance + 1) * 0x9E3779B97F4A7C15u,
                     {0}, NULL, NULL};

    d.file = mem_new(p->files, sizeof *d.file);
    d.sure = mem_new(p->changes, sizeof *d.sure);
    for (size_t i = 0; i < p->files; i++) {
        set_size(&d.file[i], p->file[i].size);
        if (p->file[i].size)
            memcpy(d.file[i].bytes, p->file[i].bytes, p->file[i].size);
    }
    for (size_t i = 0; i < p->first.count; i++)
        name_set(&d.names, p->first.name[i].path, p->first.name[i].node);
    for (size_t i = 0; i < n; i++)
        if (p->change[i].kind == SYNC || p->change[i].kind == KEPT)
            make_sure(&d, i);
    for (size_t i = 0; i < n; i++)
        if (!d.sure[i])
            maybe(&d, &p->change[i]);
    folder_drop(to);
    lay_out(&d, to);
    for (size_t i = 0; i < p->files; i++)
        free(d.file[i].bytes);
    names_clear(&d.names);
    free(d.file);
    free(d.sure);
}
