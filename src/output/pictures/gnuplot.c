/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The script's name stands in a list of arguments of its own and the folder is made the working
 * folder of the new process, so no name of the user's is ever part of a command. The process leads
 * a group of its own, so that what it has started ends with it. */
#include "gnuplot.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { NOT_STARTED = 127, LOOK_EVERY = 2 * 1000 * 1000 }; /* exit code of the shell's; [ns] */

static int is_program(const char *path)
{
    struct stat st;
    return stat(path, &st) == 0 && S_ISREG(st.st_mode) && access(path, X_OK) == 0;
}

const char *gnuplot_find(struct arena *arena)
{
    const char *path = getenv("PATH");
    if (!path) path = "/usr/local/bin:/usr/bin:/bin";
    while (*path) {
        size_t n = strcspn(path, ":");
        const char *program = arena_printf(arena, "%.*s/gnuplot", (int)n, path);
        if (*path == '/' && is_program(program)) return program;
        path += n + (path[n] == ':');
    }
    return NULL;
}

/* In the new process, where only what a signal handler may do is allowed. */
static _Noreturn void become(const char *program, const char *folder, char *const *arguments)
{
    int nothing = open("/dev/null", O_RDWR);
    setpgid(0, 0);
    if (nothing >= 0 && dup2(nothing, 0) == 0 && dup2(nothing, 1) == 1 && dup2(nothing, 2) == 2 &&
        chdir(folder) == 0)
        execv(program, arguments);
    _exit(NOT_STARTED);
}

static double seconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

/* A signal ends the pause, so `stop` is asked at once. */
static int wait_for(pid_t pid, double most, bool (*stop)(void))
{
    const struct timespec pause = {0, LOOK_EVERY};
    double end = seconds() + most;
    int state = 0;
    bool killed = false;
    for (;;) {
        pid_t got = waitpid(pid, &state, killed ? 0 : WNOHANG);
        if (got == pid) break;
        if (got < 0 && errno != EINTR) return -1;
        if (!killed && (seconds() > end || (stop && stop()))) {
            kill(-pid, SIGKILL);
            kill(pid, SIGKILL); /* where it did not yet lead its group */
            killed = true;
        } else if (!killed) {
            nanosleep(&pause, NULL);
        }
    }
    if (WIFSIGNALED(state)) return 128 + WTERMSIG(state);
    return WEXITSTATUS(state) == NOT_STARTED ? -1 : WEXITSTATUS(state);
}

int gnuplot_run(const char *program, const char *folder, const char *script, double most,
                bool (*stop)(void))
{
    char name[] = "gnuplot", defaults[] = "-d";
    char *const arguments[] = {name, defaults, (char *)(size_t)script, NULL};
    pid_t pid = fork();
    if (pid == 0) become(program, folder, arguments);
    return pid < 0 ? -1 : wait_for(pid, most, stop);
}
