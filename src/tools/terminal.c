/*
 * terminal COMMAND...: runs a command on a terminal of its own and types each
 * line of standard input at it when it asks, for tests of conversations; a line
 * that begins with Ctrl-D (\004) is that key alone. What was on the screen, the
 * answers included, goes to standard output; the exit status is the command's.
 */
#define _XOPEN_SOURCE 700 /* posix_openpt */
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <termios.h>
#include <unistd.h>

#define QUIET_MS 30 /* a prompt is one when nothing follows it for so long */

static int fail(const char *what)
{
    fprintf(stderr, "terminal: %s: %s\n", what, strerror(errno));
    return 2;
}

/* What is typed is shown here, once; nothing is added to what is written. */
static bool make_plain(int fd)
{
    struct termios t;

    if (tcgetattr(fd, &t))
        return false;
    t.c_lflag &= ~(tcflag_t)ECHO;
    t.c_oflag &= ~(tcflag_t)OPOST;
    return tcsetattr(fd, TCSANOW, &t) == 0;
}

static void become(const char *name, char **command)
{
    int fd;

    if (setsid() < 0 || (fd = open(name, O_RDWR)) < 0)
        _exit(127);
    for (int i = 0; i < 3; i++)
        if (dup2(fd, i) < 0)
            _exit(127);
    if (fd > 2)
        close(fd);
    execvp(command[0], command);
    _exit(127);
}

/* Types the next line, or the end of input. */
static bool type_line(int master, bool *ended)
{
    static const char end_of_input = 4;
    char *line = NULL;
    size_t room = 0;
    ssize_t n = *ended ? -1 : getline(&line, &room, stdin);
    bool ok;

    if (n < 0 || line[0] == end_of_input) {
        *ended = n < 0;
        ok = write(master, &end_of_input, 1) == 1;
    } else {
        fwrite(line, 1, (size_t)n, stdout);
        ok = write(master, line, (size_t)n) == n;
    }
    free(line);
    return ok;
}

static bool is_prompt(const char last[2])
{
    return last[1] == ' ' && (last[0] == '?' || last[0] == ']');
}

static void talk(int master)
{
    struct pollfd p = {.fd = master, .events = POLLIN};
    char buffer[4096], last[2] = {0};
    bool ended = false;

    for (;;) {
        int ready = poll(&p, 1, is_prompt(last) ? QUIET_MS : -1);
        ssize_t n;
        if (ready == 0) {
            last[1] = '\0';
            if (!type_line(master, &ended))
                return;
            continue;
        }
        n = read(master, buffer, sizeof buffer);
        if (n <= 0)
            return; /* the other end is closed */
        fwrite(buffer, 1, (size_t)n, stdout);
        last[0] = last[1];
        if (n > 1)
            last[0] = buffer[n - 2];
        last[1] = buffer[n - 1];
    }
}

int main(int argc, char **argv)
{
    int master, slave, status;
    pid_t child;

    if (argc < 2) {
        fputs("usage: terminal COMMAND...\n", stderr);
        return 2;
    }
    master = posix_openpt(O_RDWR | O_NOCTTY);
    if (master < 0 || grantpt(master) || unlockpt(master))
        return fail("no terminal");
    /* Held open, so that the settings stay until the child has it. */
    slave = open(ptsname(master), O_RDWR | O_NOCTTY);
    if (slave < 0 || !make_plain(slave))
        return fail("the terminal");
    child = fork();
    if (child < 0)
        return fail("fork");
    if (child == 0)
        become(ptsname(master), argv + 1);
    close(slave);
    talk(master);
    if (waitpid(child, &status, 0) < 0)
        return fail("wait");
    return WIFEXITED(status) ? WEXITSTATUS(status) : 1;
}
