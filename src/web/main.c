/*
 * hanklab-serve: the page of a book, on this machine. "hanklab serve" starts
 * it, so that no other command waits for the libraries it needs.
 *
 *     hanklab-serve FOLDER PORT [open]
 */
#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "book/face.h"
#include "filter.h"
#include "server.h"

extern char **environ;

/* Hands the address to the desktop; that there is none is no fault. */
static void open_page(const char *address)
{
    char opener[] = "xdg-open", to[64];
    char *argv[] = {opener, to, NULL};
    posix_spawn_file_actions_t quiet;
    pid_t pid;

    snprintf(to, sizeof to, "%s", address);
    posix_spawn_file_actions_init(&quiet);
    posix_spawn_file_actions_addopen(&quiet, 1, "/dev/null", O_WRONLY, 0);
    posix_spawn_file_actions_addopen(&quiet, 2, "/dev/null", O_WRONLY, 0);
    if (posix_spawnp(&pid, opener, &quiet, NULL, argv, environ))
        fputs("Open it in a browser.\n", stderr);
    posix_spawn_file_actions_destroy(&quiet);
}

static bool serve(const char *folder, int port, bool opens, struct error *err)
{
    struct web web = {.port = port};
    char address[64];
    bool ok = book_open(folder, &web.book, err) &&
              guard_token(folder, web.token, err) && server_start(&web, err);

    if (ok) {
        book_acts_from(web.book, "page");
        snprintf(address, sizeof address, "http://127.0.0.1:%d/", web.port);
        printf("The rack hangs at %s (Ctrl-C ends).\n", address);
        if (!filter_there())
            puts("This kernel has no filters: what reads a photo is held by "
                 "its limits of time and memory alone.");
        fflush(stdout);
        if (opens)
            open_page(address);
        server_run(&web);
        server_stop(&web);
    }
    book_close(web.book);
    return ok;
}

int main(int argc, char **argv)
{
    struct error err = {0};
    long long port;

    if (argc < 3 || !text_whole(argv[2], &port) || port < 0 || port > 65535) {
        fputs("usage: hanklab-serve FOLDER PORT [open]\n", stderr);
        return 2;
    }
    face_is_page();
    if (serve(argv[1], (int)port, argc > 3 && !strcmp(argv[3], "open"), &err))
        return 0;
    fprintf(stderr, "hanklab: %s\n", err.text);
    return 1;
}
