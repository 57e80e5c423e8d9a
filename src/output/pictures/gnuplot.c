/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The script's name stands in a list of arguments of its own and the folder is made the working
 * folder, so no name of the user's is ever part of a command. */
#include "gnuplot.h"

#include <errno.h>
#include <fcntl.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

extern char **environ;

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

/* Starts it in the present working folder. */
static int start(const char *program, const char *script, pid_t *pid)
{
    posix_spawn_file_actions_t files;
    if (posix_spawn_file_actions_init(&files) != 0) return -1;
    int failed = posix_spawn_file_actions_addopen(&files, 0, "/dev/null", O_RDONLY, 0) |
                 posix_spawn_file_actions_addopen(&files, 1, "/dev/null", O_WRONLY, 0) |
                 posix_spawn_file_actions_addopen(&files, 2, "/dev/null", O_WRONLY, 0);
    char name[] = "gnuplot", defaults[] = "-d", *copy = strdup(script);
    char *arguments[] = {name, defaults, copy, NULL};
    if (!failed && copy) failed = posix_spawn(pid, program, &files, NULL, arguments, environ);
    failed |= !copy;
    free(copy);
    posix_spawn_file_actions_destroy(&files);
    return failed ? -1 : 0;
}

int gnuplot_run(const char *program, const char *folder, const char *script)
{
    int here = open(".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (here < 0) return -1;
    pid_t pid = -1;
    int failed = chdir(folder) != 0;
    if (!failed) failed = start(program, script, &pid);
    if (fchdir(here) != 0) failed = 1;
    close(here);
    if (pid < 0) return -1;
    int state = 0;
    while (waitpid(pid, &state, 0) < 0)
        if (errno != EINTR) return -1;
    if (failed) return -1;
    return WIFSIGNALED(state) ? 128 + WTERMSIG(state) : WEXITSTATUS(state);
}
