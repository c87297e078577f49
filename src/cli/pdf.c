/* A document as a PDF, by an installed Chromium. See pdf.h. */
#include "cli/pdf.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/disk.h"
#include "base/html.h"
#include "base/mem.h"

extern char **environ;

#define INSTEAD "write it with --html and print that from your browser"
#define PATIENCE_MS 60000
#define LOOK_MS 20

/* By what names it is installed. */
static const char *const browsers[] = {"chromium", "chromium-browser",
                                       "google-chrome", "google-chrome-stable"};

/* "file:///..." of a name in a folder. */
static void add_address(const char *folder, const char *name, struct text *out)
{
    text_add(out, "file://");
    for (const char *c = folder; *c; c++) {
        const char one[] = {*c, '\0'};
        if (*c == '/')
            text_add(out, "/");
        else
            html_url(out, one);
    }
    text_addf(out, "/%s", name);
}

/* Starts the first that there is; 0 or what errno would say. */
static int start(char *const *argument, pid_t *pid)
{
    posix_spawn_file_actions_t quiet;
    posix_spawnattr_t apart;
    int why = ENOENT;

    posix_spawn_file_actions_init(&quiet);
    posix_spawn_file_actions_addopen(&quiet, 0, "/dev/null", O_RDONLY, 0);
    posix_spawn_file_actions_addopen(&quiet, 1, "/dev/null", O_WRONLY, 0);
    posix_spawn_file_actions_addopen(&quiet, 2, "/dev/null", O_WRONLY, 0);
    posix_spawnattr_init(&apart);
    posix_spawnattr_setflags(&apart, POSIX_SPAWN_SETPGROUP);
    for (size_t i = 0; why == ENOENT && i < ARRAY_LEN(browsers); i++)
        why = posix_spawnp(pid, browsers[i], &quiet, &apart, argument, environ);
    posix_spawnattr_destroy(&apart);
    posix_spawn_file_actions_destroy(&quiet);
    return why;
}

/* Waits until it has ended, or ends it with all that it started. */
static void wait_for(pid_t pid)
{
    const struct timespec look = {0, LOOK_MS * 1000000L};
    int status;

    for (int ms = 0; ms < PATIENCE_MS; ms += LOOK_MS) {
        if (waitpid(pid, &status, WNOHANG) == pid)
            return;
        nanosleep(&look, NULL);
    }
    kill(-pid, SIGKILL);
    waitpid(pid, &status, 0);
}

static bool print(const char *folder, const char *pdf, struct error *err)
{
    struct text address = {0}, profile = {0}, to = {0};
    /* Root is refused a sandbox; the document is ours and has no script. */
    const char *sandbox =
        geteuid() == 0 ? "--no-sandbox" : "--disable-extensions";
    const char *words[] = {"chromium",
                           "--headless",
                           sandbox,
                           "--disable-gpu",
                           "--disable-background-networking",
                           "--disable-component-update",
                           "--disable-sync",
                           "--no-first-run",
                           "--no-pdf-header-footer",
                           NULL,
                           NULL,
                           NULL,
                           NULL};
    char *argument[ARRAY_LEN(words)] = {0};
    size_t n = 0;
    pid_t pid;
    int why;

    add_address(folder, "paper.html", &address);
    text_addf(&profile, "--user-data-dir=%s/profile", folder);
    text_addf(&to, "--print-to-pdf=%s", pdf);
    while (words[n]) {
        argument[n] = mem_text(words[n]);
        n++;
    }
    argument[n] = text_take(&profile);
    argument[n + 1] = text_take(&to);
    argument[n + 2] = text_take(&address);
    why = start(argument, &pid);
    if (!why)
        wait_for(pid);
    for (size_t i = 0; i < ARRAY_LEN(argument); i++)
        free(argument[i]);
    if (why == ENOENT)
        return error_set(err, ERR_MISSING,
                         "a PDF is made by Chromium, which is not installed: "
                         "install it, or " INSTEAD);
    return !why || error_set(err, ERR_STORE, "Chromium cannot be started: %s",
                             strerror(why));
}

/* Whether there is one, and it is no stub. */
static bool is_pdf(const char *path)
{
    char mark[5] = "";
    FILE *f = fopen(path, "rb");
    bool is = f && fread(mark, sizeof mark, 1, f) == 1 &&
              !memcmp(mark, "%PDF-", sizeof mark);

    if (f)
        fclose(f);
    return is;
}

static bool make(const char *folder, const char *path, const struct text *html,
                 struct error *err)
{
    struct text name = {0}, pdf = {0};
    bool ok;

    text_addf(&name, "%s/paper.html", folder);
    text_addf(&pdf, "%s/paper.pdf", folder);
    ok = disk_write(text_str(&name), html->s, html->len, "nothing was printed",
                    err) &&
         print(folder, text_str(&pdf), err) &&
         (is_pdf(text_str(&pdf)) ||
          error_set(err, ERR_STORE, "Chromium made no PDF of it: " INSTEAD)) &&
         (!rename(text_str(&pdf), path) ||
          disk_no_room(path, "nothing was printed", err));
    text_clear(&name);
    text_clear(&pdf);
    return ok;
}

/* The folder that a file will lie in, from the root. */
static bool folder_of(const char *path, struct text *out)
{
    const char *slash = strrchr(path, '/');
    char here[PATH_MAX];

    if (*path != '/') {
        if (!getcwd(here, sizeof here))
            return false;
        text_addf(out, "%s/", here);
    }
    text_add_n(out, path, slash ? (size_t)(slash + 1 - path) : 0);
    return true;
}

bool pdf_write(const char *path, const struct text *html, struct error *err)
{
    struct text folder = {0};
    bool ok = folder_of(path, &folder);

    text_add(&folder, "hanklab-print-XXXXXX");
    ok = (ok && mkdtemp(folder.s)) ||
         disk_no_room(path, "nothing was printed", err);
    if (ok) {
        ok = make(text_str(&folder), path, html, err);
        disk_remove(text_str(&folder));
    }
    text_clear(&folder);
    return ok;
}
