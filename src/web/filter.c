/* Filters of the kernel's. See filter.h. */
#define _GNU_SOURCE /* close_range */

#include "filter.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/prctl.h>
#include <sys/resource.h>
#include <unistd.h>

#include <linux/seccomp.h>
#include <seccomp.h>

#include "base/mem.h"
#include "base/text.h"

#define MAX_SECONDS 60 /* of processor time; a 200 Mpx picture takes two */
#define MAX_MEMORY ((rlim_t)1 << 30) /* file, coefficients, the result */
#define FREE 16                      /* no number of a file that stays */

/* glibc's own memory and clocks, libjpeg, lcms and the sanitizers need no
 * more. */
static const int allowed[] = {
    SCMP_SYS(read),          SCMP_SYS(write),
    SCMP_SYS(close),         SCMP_SYS(fstat),
    SCMP_SYS(newfstatat),    SCMP_SYS(lseek),
    SCMP_SYS(munmap),        SCMP_SYS(mremap),
    SCMP_SYS(madvise),       SCMP_SYS(brk),
    SCMP_SYS(futex),         SCMP_SYS(sched_yield),
    SCMP_SYS(rt_sigaction),  SCMP_SYS(rt_sigprocmask),
    SCMP_SYS(rt_sigreturn),  SCMP_SYS(sigaltstack),
    SCMP_SYS(clock_gettime), SCMP_SYS(gettimeofday),
    SCMP_SYS(getpid),        SCMP_SYS(gettid),
    SCMP_SYS(getrandom),     SCMP_SYS(exit),
    SCMP_SYS(exit_group),    SCMP_SYS(sysinfo), /* qsort */
};

/* Memory that is not to be run. */
static const int memory[] = {SCMP_SYS(mmap), SCMP_SYS(mprotect)};

void filter_leave(const int *fd, size_t count)
{
    int away[FREE];

    for (size_t i = 0; i < count; i++)
        away[i] = fcntl(fd[i], F_DUPFD, FREE);
    for (size_t i = 0; i < count; i++)
        dup2(away[i], FILTER_FIRST + (int)i);
    close_range(FILTER_FIRST + (unsigned)count, ~0U, 0);
}

/* So much more memory than there is now, which is mapped and not all used. */
static void limit_memory(void)
{
    long long pages = 0;
    struct rlimit limit;
    char line[64] = "";
    FILE *f = fopen("/proc/self/statm", "r");

    if (f && fgets(line, sizeof line, f) && strchr(line, ' ')) {
        *strchr(line, ' ') = '\0';
        text_whole(line, &pages);
    }
    if (f)
        fclose(f);
    if (!pages)
        return;
    limit.rlim_cur = limit.rlim_max =
        (rlim_t)pages * (rlim_t)sysconf(_SC_PAGESIZE) + MAX_MEMORY;
    setrlimit(RLIMIT_AS, &limit);
}

void filter_limit(void)
{
    struct rlimit seconds = {MAX_SECONDS, MAX_SECONDS}, no_files = {0, 0};

    setrlimit(RLIMIT_CPU, &seconds);
    setrlimit(RLIMIT_FSIZE, &no_files);
    limit_memory();
}

bool filter_there(void)
{
    /* Asked for with no filter at all: EFAULT where there could be one. */
    return prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, NULL) == -1 &&
           errno == EFAULT;
}

bool filter_shut(void)
{
    scmp_filter_ctx filter = seccomp_init(SCMP_ACT_KILL_PROCESS);
    bool ok = filter != NULL;

    for (size_t i = 0; ok && i < ARRAY_LEN(allowed); i++)
        ok = !seccomp_rule_add(filter, SCMP_ACT_ALLOW, allowed[i], 0);
    for (size_t i = 0; ok && i < ARRAY_LEN(memory); i++)
        ok = !seccomp_rule_add(filter, SCMP_ACT_ALLOW, memory[i], 1,
                               SCMP_A2(SCMP_CMP_MASKED_EQ, PROT_EXEC, 0));
    ok = ok && !seccomp_load(filter);
    if (filter)
        seccomp_release(filter);
    return ok;
}
