/* Filters of the kernel's. See filter.h. */
#include "filter.h"

#include <errno.h>
#include <stddef.h>
#include <sys/mman.h>
#include <sys/prctl.h>

#include <linux/seccomp.h>
#include <seccomp.h>

#include "base/mem.h"

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
