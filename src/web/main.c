/*
 * hanklab-serve: the page of a book. "hanklab serve" starts
 * it, so that no other command waits for the libraries it needs.
 *
 *     hanklab-serve FOLDER PORT [open] [share[=ADDRESS]]
 */
#include <arpa/inet.h>
#include <fcntl.h>
#include <spawn.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/text.h"
#include "book/device.h"
#include "book/face.h"
#include "draw/qr.h"
#include "filter.h"
#include "network.h"
#include "server.h"
#include "sweep.h"

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

/* "http://192.168.1.5:8137/" */
static void address_of(struct in_addr a, int port, char out[64])
{
    char numbers[INET_ADDRSTRLEN];

    inet_ntop(AF_INET, &a, numbers, sizeof numbers);
    snprintf(out, 64, "http://%s:%d/", numbers, port);
}

/* Where others find it, the likeliest first. ERR_INPUT when nowhere. */
static bool find_addresses(struct web *web, struct error *err)
{
    struct in_addr all[NETWORK_MAX] = {web->address};
    size_t n = 1;

    if (web->address.s_addr == htonl(INADDR_ANY))
        n = network_addresses(all);
    for (size_t i = 0; i < n; i++)
        address_of(all[i], web->port, web->at[i]);
    web->ats = n;
    return n || error_set(err, ERR_INPUT,
                          "this machine is in no local network: connect it to "
                          "the one that the phone is in, and try again");
}

static void tell_shared(const struct web *web, const struct device_offer *offer)
{
    struct text to = {0}, picture = {0};

    for (size_t i = 0; i < web->ats; i++)
        printf("%s %s\n",
               i ? "              or at"
                 : "Shared with the local "
                   "network at",
               web->at[i]);
    printf("To let a phone in, open that on it and type %.3s %.3s", offer->code,
           offer->code + 3);
    text_addf(&to, "%spair?code=%s", web->at[0], offer->code);
    if (isatty(STDOUT_FILENO) && qr_terminal(text_str(&to), &picture))
        printf(", or let its camera read this:\n%s", text_str(&picture));
    printf("%sIt is good once, for %d minutes. Another: the page Devices here, "
           "or \"hanklab device add\".\n",
           picture.len ? "" : ".\n", DEVICE_CODE_MINUTES);
    text_clear(&to);
    text_clear(&picture);
}

static bool share(struct web *web, const char *folder, struct error *err)
{
    struct device_offer offer;
    bool ok =
        find_addresses(web, err) && device_shared_at(folder, web->at[0], err);

    if (!ok || !device_offer_new(folder, &offer, err))
        return false;
    tell_shared(web, &offer);
    device_offer_clear(&offer);
    return true;
}

static void tell(const struct web *web)
{
    printf("The rack hangs at http://127.0.0.1:%d/ (Ctrl-C ends).\n",
           web->port);
    if (!filter_there())
        puts("This kernel has no filters: what reads a photo, or unpacks what "
             "was handed on, is held by its limits of time and memory alone.");
}

static bool serve(const char *folder, struct web *web, bool opens,
                  struct error *err)
{
    char address[64];
    bool ok = book_open(folder, &web->book, err) &&
              guard_token(folder, web->token, err) && server_start(web, err);

    if (ok) {
        sweep_cache(web->book);
        tell(web);
        ok = !web->shared || share(web, folder, err);
    }
    if (ok) {
        fflush(stdout);
        snprintf(address, sizeof address, "http://127.0.0.1:%d/", web->port);
        if (opens)
            open_page(address);
        server_run(web);
        ok = !web->shared || device_shared_at(folder, NULL, err);
    }
    server_stop(web);
    kept_clear(&web->kept);
    book_close(web->book);
    return ok;
}

/* "open", "share", "share=192.168.1.5" */
static bool read_word(const char *word, struct web *web, bool *opens)
{
    *opens = *opens || !strcmp(word, "open");
    web->shared = web->shared || !strncmp(word, "share", 5);
    return !strcmp(word, "open") || !strcmp(word, "share") ||
           (!strncmp(word, "share=", 6) &&
            inet_pton(AF_INET, word + 6, &web->address) == 1);
}

int main(int argc, char **argv)
{
    struct web web = {0};
    struct error err = {0};
    long long port;
    bool opens = false, ok = argc >= 3 && text_whole(argv[2], &port) &&
                             port >= 0 && port <= 65535;

    for (int i = 3; ok && i < argc; i++)
        ok = read_word(argv[i], &web, &opens);
    if (!ok) {
        fputs("usage: hanklab-serve FOLDER PORT [open] [share[=ADDRESS]]\n",
              stderr);
        return 2;
    }
    web.port = (int)port;
    face_set_page();
    if (serve(argv[1], &web, opens, &err))
        return 0;
    fprintf(stderr, "hanklab: %s\n", err.text);
    return 1;
}
