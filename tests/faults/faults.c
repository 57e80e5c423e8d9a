/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Preloaded into the program (LD_PRELOAD), this makes chosen calls of the system fail.
 *
 *   FAULT_CALL    alloc, write, rename, fsync, mkdir or open (for writing)
 *   FAULT_AT      which call of it fails, counted from 1; 0: none, they are only counted
 *   FAULT_ALL     set: all from that one on
 *   FAULT_ERRNO   what errno says then
 *   FAULT_KILL    set: it does not fail, the process is killed there (SIGKILL)
 *   FAULT_TOLD    a file for the number of calls and of blocks of memory not given back at the exit
 *   FAULT_EACH    a file: at each allocation a child is made in which it fails; a line a child with its
 *                 exit code, the blocks it did not give back, and what it complained of
 *
 * Allocation is glibc's own below its public names. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

void *__libc_malloc(size_t);
void *__libc_calloc(size_t, size_t);
void *__libc_realloc(void *, size_t);
void __libc_free(void *);

static const char *call = "", *each;
static long at;
static int all, error_number, kills, ready;
static atomic_long calls, live;
static long *told_live; /* shared with the parent of a child of FAULT_EACH */
static int is_child, busy;

static long number(const char *name)
{
    const char *text = getenv(name);
    return text ? strtol(text, NULL, 10) : 0;
}

__attribute__((constructor)) static void begin(void)
{
    if (getenv("FAULT_CALL")) call = getenv("FAULT_CALL");
    at = number("FAULT_AT");
    error_number = (int)number("FAULT_ERRNO");
    all = getenv("FAULT_ALL") != NULL;
    kills = getenv("FAULT_KILL") != NULL;
    each = getenv("FAULT_EACH");
    ready = strcmp(program_invocation_short_name, "presolder") == 0; /* and no gnuplot of its */
}

/* Without memory: it may be what is counted. */
static void tell(const char *path, const char *text)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_APPEND, 0666);
    if (fd >= 0 && write(fd, text, strlen(text)) < 0) _exit(99);
    if (fd >= 0) close(fd);
}

__attribute__((destructor)) static void end(void)
{
    char text[64];
    const char *path = getenv("FAULT_TOLD");
    if (!ready) return;
    ready = 0;
    if (is_child) *told_live = live;
    if (!path || is_child) return;
    snprintf(text, sizeof text, "%ld %ld\n", (long)calls, (long)live);
    tell(path, text);
}

static int fails(const char *name)
{
    if (!ready || strcmp(call, name) != 0) return 0;
    long n = ++calls;
    if (at == 0 || (all ? n < at : n != at)) return 0;
    if (kills) kill(getpid(), SIGKILL);
    errno = error_number;
    return 1;
}

/* ---- each allocation in a child of its own ---- */

static void report(long n, int state, int err)
{
    char text[600];
    ssize_t size = pread(err, text + 64, 500, 0);
    int code = WIFEXITED(state) ? WEXITSTATUS(state) : 128 + WTERMSIG(state);
    int used = snprintf(text, 64, "%ld exit %d left %ld: ", n, code, *told_live);
    if (size < 0) size = 0;
    for (ssize_t i = 0; i < size; i++) text[used + i] = text[64 + i] == '\n' ? '|' : text[64 + i];
    text[used + size] = '\n';
    text[used + size + 1] = 0;
    tell(each, text);
}

static int child_fails(void)
{
    static long n;
    if (!ready || !each || is_child || busy) return 0;
    busy = 1;
    n++;
    if (!told_live)
        told_live = mmap(NULL, sizeof *told_live, PROT_READ | PROT_WRITE,
                         MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    *told_live = -1;
    int err = memfd_create("err", 0), out = memfd_create("out", 0), state = 0;
    pid_t pid = fork();
    if (pid == 0) {
        is_child = 1;
        dup2(out, 1);
        dup2(err, 2);
        return 1;
    }
    if (pid < 0 || waitpid(pid, &state, 0) != pid) _exit(98);
    report(n, state, err);
    close(err);
    close(out);
    busy = 0;
    return 0;
}

static int no_memory(void)
{
    if (!child_fails() && !fails("alloc")) return 0;
    errno = ENOMEM;
    return 1;
}

static void *counted(void *block)
{
    if (block) live++;
    return block;
}

void *malloc(size_t n)
{
    return no_memory() ? NULL : counted(__libc_malloc(n));
}
void *calloc(size_t n, size_t size)
{
    return no_memory() ? NULL : counted(__libc_calloc(n, size));
}
void *realloc(void *old, size_t n)
{
    if (no_memory()) return NULL;
    void *block = __libc_realloc(old, n);
    if (!old) counted(block);
    return block;
}
void free(void *block)
{
    if (block) live--;
    __libc_free(block);
}

/* ---- files ---- */

#pragma GCC diagnostic ignored "-Wpedantic" /* dlsym's object is a function */
#define NEXT(name) ((__typeof__(name) *)dlsym(RTLD_NEXT, #name))

ssize_t write(int fd, const void *bytes, size_t n)
{
    return fd > 2 && fails("write") ? -1 : NEXT(write)(fd, bytes, n);
}
int rename(const char *from, const char *to)
{
    return fails("rename") ? -1 : NEXT(rename)(from, to);
}
int fsync(int fd)
{
    return fails("fsync") ? -1 : NEXT(fsync)(fd);
}
int mkdir(const char *path, mode_t mode)
{
    return fails("mkdir") ? -1 : NEXT(mkdir)(path, mode);
}
int open(const char *path, int flags, ...)
{
    va_list args;
    va_start(args, flags);
    mode_t mode = flags & O_CREAT ? va_arg(args, mode_t) : 0;
    va_end(args);
    if ((flags & O_ACCMODE) != O_RDONLY && strcmp(path, "/dev/null") != 0 && fails("open"))
        return -1;
    return NEXT(open)(path, flags, mode);
}
