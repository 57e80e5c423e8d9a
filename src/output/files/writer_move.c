/* SPDX-License-Identifier: GPL-3.0-or-later */
/* All old files go aside into `.old` in the partial folder; that becomes `.done` at once; then the
 * new ones come into place. So whatever ends the program between two of these steps, the next run
 * in the same folder can tell which run to make whole: with `.old` the earlier one, with `.done`
 * the new one. No memory is taken, so nothing jumps away half way. */
#include "writer_impl.h"

#include <dirent.h>
#include <errno.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const char old_files[] = ".old", done_files[] = ".done", prefix[] = ".partial-";

enum { LEVELS_MOST = 4 }; /* of folders in a partial one; there are two */

static void make_parent(const char *path)
{
    char parent[WRITER_PATH];
    const char *slash = strrchr(path, '/');
    memcpy(parent, path, (size_t)(slash - path));
    parent[slash - path] = 0;
    mkdir(parent, 0777);
}

/* Moves `from/name` to `to/name`; 0 or what errno says. */
static int move(const char *from, const char *to, const char *name)
{
    char here[WRITER_PATH], there[WRITER_PATH];
    writer_path(here, from, name);
    writer_path(there, to, name);
    if (rename(here, there) == 0) return 0;
    if (errno != ENOENT) return errno;
    make_parent(there);
    return rename(here, there) == 0 ? 0 : errno;
}

static bool is_there(const char *folder, const char *name)
{
    struct stat about;
    char path[WRITER_PATH];
    return lstat(writer_path(path, folder, name), &about) == 0;
}

static void move_aside(struct writer *w, const char *aside, const char *name)
{
    if (w->message || !is_there(w->folder, name)) return;
    char path[WRITER_PATH];
    int error = move(w->folder, aside, name);
    if (error) writer_fail(w, writer_path(path, w->folder, name), error);
}

static void move_all(struct writer *w, const char *aside, const char *done)
{
    char path[WRITER_PATH];
    if (mkdir(aside, 0777) != 0) writer_fail(w, aside, errno);
    for (int i = 0; i < w->files.n; i++) move_aside(w, aside, w->files.at[i]);
    for (int i = 0; i < w->retired.n; i++) move_aside(w, aside, w->retired.at[i]);
    if (!w->message && rename(aside, done) != 0) writer_fail(w, done, errno);
    for (; w->moved < w->files.n && !w->message; w->moved++) {
        const char *name = w->files.at[w->moved];
        int error = move(w->partial, w->folder, name);
        if (error) {
            writer_fail(w, writer_path(path, w->folder, name), error);
            break;
        }
    }
}

void writer_move_back(struct writer *w)
{
    if (!w->moving) return;
    char aside[WRITER_PATH], done[WRITER_PATH];
    writer_path(aside, w->partial, old_files);
    writer_path(done, w->partial, done_files);
    while (w->moved > 0)
        if (move(w->folder, w->partial, w->files.at[--w->moved]) != 0) return;
    if (is_there(w->partial, done_files) && rename(done, aside) != 0) return;
    for (int i = 0; i < w->files.n; i++)
        if (is_there(aside, w->files.at[i]) && move(aside, w->folder, w->files.at[i]) != 0) return;
    for (int i = 0; i < w->retired.n; i++)
        if (is_there(aside, w->retired.at[i]) && move(aside, w->folder, w->retired.at[i]) != 0)
            return;
    w->moving = false;
}

bool writer_move(struct writer *w)
{
    char aside[WRITER_PATH], done[WRITER_PATH];
    sigset_t all, before;
    sigfillset(&all);
    sigprocmask(SIG_BLOCK, &all, &before);
    w->moving = true;
    move_all(w, writer_path(aside, w->partial, old_files),
             writer_path(done, w->partial, done_files));
    if (w->message) writer_move_back(w);
    else w->moving = false;
    sigprocmask(SIG_SETMASK, &before, NULL);
    return !w->message;
}

/* ---- what others left ---- */

/* Has `act` look at each entry of a folder; an entry may be moved or removed by it. */
static void each(const char *folder,
                 void (*act)(const char *folder, const char *name, void *context), void *context)
{
    DIR *dir = opendir(folder);
    if (!dir) return;
    for (const struct dirent *e; (e = readdir(dir));)
        if (strcmp(e->d_name, ".") != 0 && strcmp(e->d_name, "..") != 0)
            act(folder, e->d_name, context);
    closedir(dir);
}

static void remove_levels(const char *folder, int levels);

static void remove_entry(const char *folder, const char *name, void *levels)
{
    char path[WRITER_PATH];
    writer_path(path, folder, name);
    if (unlink(path) != 0 && *(int *)levels > 0) remove_levels(path, *(int *)levels - 1);
}

static void remove_levels(const char *folder, int levels)
{
    each(folder, remove_entry, &levels);
    rmdir(folder);
}

void writer_remove(const char *folder)
{
    remove_levels(folder, LEVELS_MOST);
}

/* A folder's files go to another folder. */
struct into {
    const char *to;
    int levels;
};

static void move_entry(const char *folder, const char *name, void *context)
{
    const struct into *into = context;
    char from[WRITER_PATH], to[WRITER_PATH];
    struct stat about;
    if (strcmp(name, done_files) == 0) return;
    writer_path(from, folder, name);
    writer_path(to, into->to, name);
    if (lstat(from, &about) != 0) return;
    if (!S_ISDIR(about.st_mode)) {
        rename(from, to);
        return;
    }
    if (into->levels == 0) return;
    struct into inner = {to, into->levels - 1};
    mkdir(to, 0777);
    each(from, move_entry, &inner);
}

/* The process whose partial folder this is, is no more. */
static bool is_left_over(const char *name)
{
    if (strncmp(name, prefix, strlen(prefix)) != 0) return false;
    char *end;
    long process = strtol(name + strlen(prefix), &end, 10);
    return *end == '-' && process > 0 && kill((pid_t)process, 0) != 0 && errno == ESRCH;
}

static void recover(const char *folder, const char *name, void *context)
{
    (void)context;
    char partial[WRITER_PATH], aside[WRITER_PATH];
    struct into into = {folder, LEVELS_MOST};
    if (!is_left_over(name)) return;
    writer_path(partial, folder, name);
    if (is_there(partial, old_files))
        each(writer_path(aside, partial, old_files), move_entry, &into);
    else if (is_there(partial, done_files)) each(partial, move_entry, &into);
    writer_remove(partial);
}

void writer_recover(const char *folder)
{
    each(folder, recover, NULL);
}
