/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files are listed as they are begun; a file is in its final place only after writer_commit renamed
 * it, and rename replaces a file at once or not at all. Folders that had to be made are remembered
 * in order, so that giving up can take back exactly those. */
#include "writer.h"

#include <assert.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "array.h"
#include "decimal.h"

typedef ARRAY(const char *) names;

struct writer {
    struct arena *arena;
    const char *folder, *partial;
    names files;   /* relative to both folders */
    names retired; /* relative to the target */
    names made;    /* folders made for the target, outer ones first */
    names inner;   /* the partial folder and those in it, outer ones first */
    FILE *out;     /* the running file */
    const char *message;
    bool done;
};

static void fail(struct writer *w, const char *path, int error)
{
    if (!w->message) w->message = arena_printf(w->arena, "%s: %s", path, strerror(error));
}

static const char *join(struct writer *w, const char *folder, const char *name)
{
    const char *slash = folder[0] && folder[strlen(folder) - 1] == '/' ? "" : "/";
    return arena_printf(w->arena, "%s%s%s", folder, slash, name);
}

/* ---- folders ---- */

static bool is_folder(const char *path)
{
    struct stat st;
    return stat(path, &st) == 0 && S_ISDIR(st.st_mode);
}

/* Makes the folder `path` and its parents; those that were not there are added to `made`. */
static void make_folders(struct writer *w, const char *path, names *made)
{
    size_t n = strlen(path);
    for (size_t i = 1; i <= n && !w->message; i++) {
        if (i < n && path[i] != '/') continue;
        const char *part = arena_text(w->arena, path, i);
        if (mkdir(part, 0777) == 0) array_push(w->arena, made, part);
        else if (!is_folder(part)) fail(w, part, errno == EEXIST ? ENOTDIR : errno);
    }
}

/* The parents of `name` under `folder`. */
static void make_parents(struct writer *w, const char *folder, const char *name, names *made)
{
    const char *slash = strrchr(name, '/');
    if (!slash) return;
    make_folders(w, join(w, folder, arena_text(w->arena, name, (size_t)(slash - name))), made);
}

/* Everything but folders that lies in `folder`: also what another program left there. */
static void empty_folder(struct writer *w, const char *folder)
{
    DIR *dir = opendir(folder);
    if (!dir) return;
    for (const struct dirent *e; (e = readdir(dir));)
        if (strcmp(e->d_name, ".") != 0 && strcmp(e->d_name, "..") != 0)
            unlink(join(w, folder, e->d_name)); /* fails for a folder, which has its own turn */
    closedir(dir);
}

static void remove_partial(struct writer *w)
{
    for (int i = w->inner.n - 1; i >= 0; i--) {
        empty_folder(w, w->inner.at[i]);
        rmdir(w->inner.at[i]);
    }
    w->inner.n = 0;
}

static void give_up(void *writer)
{
    writer_abandon(writer);
}

/* A name nobody has: one left by a process that was killed is not touched. */
static void make_partial(struct writer *w)
{
    for (int i = 0; i < 100; i++) {
        w->partial =
            join(w, w->folder, arena_printf(w->arena, ".partial-%ld-%d", (long)getpid(), i));
        if (mkdir(w->partial, 0777) == 0) {
            array_push(w->arena, &w->inner, w->partial);
            return;
        }
        if (errno != EEXIST) break;
    }
    fail(w, w->folder, errno);
}

struct writer *writer_begin(struct arena *arena, const char *folder)
{
    struct writer *w = ARENA_NEW(arena, struct writer);
    w->arena = arena;
    w->folder = arena_text(arena, folder, strlen(folder));
    arena_at_free(arena, give_up, w);
    make_folders(w, w->folder, &w->made);
    if (!w->message) make_partial(w);
    return w;
}

/* ---- files ---- */

void writer_pause(struct writer *w)
{
    if (!w->out) return;
    int error = ferror(w->out) ? EIO : 0;
    if (fflush(w->out) != 0) error = errno;
    if (fclose(w->out) != 0 && !error) error = errno;
    w->out = NULL;
    if (error) fail(w, join(w, w->folder, w->files.at[w->files.n - 1]), error);
}

void writer_file(struct writer *w, const char *name)
{
    assert(!w->done);
    writer_pause(w);
    if (w->message) return;
    name = arena_text(w->arena, name, strlen(name));
    make_parents(w, w->partial, name, &w->inner);
    const char *path = join(w, w->partial, name);
    if (w->message) return;
    w->out = fopen(path, "w");
    if (!w->out) fail(w, path, errno);
    array_push(w->arena, &w->files, name);
}

void writer_bytes(struct writer *w, const char *bytes, size_t n)
{
    if (w->message || n == 0) return;
    assert(w->out);
    errno = 0;
    if (fwrite(bytes, 1, n, w->out) != n)
        fail(w, join(w, w->folder, w->files.at[w->files.n - 1]), errno ? errno : EIO);
}

void writer_text(struct writer *w, const char *text)
{
    writer_bytes(w, text, strlen(text));
}

void writer_format(struct writer *w, const char *format, ...)
{
    if (w->message) return;
    assert(w->out);
    va_list args;
    va_start(args, format);
    if (vfprintf(w->out, format, args) < 0)
        fail(w, join(w, w->folder, w->files.at[w->files.n - 1]), EIO);
    va_end(args);
}

void writer_number(struct writer *w, double value)
{
    char text[DECIMAL_BYTES];
    writer_bytes(w, text, (size_t)decimal_format(text, value));
}

void writer_field(struct writer *w, const char *text)
{
    if (!text[strcspn(text, ",\"\r\n")]) {
        writer_text(w, text);
        return;
    }
    writer_text(w, "\"");
    for (const char *s = text; *s; s++) {
        if (*s == '"') writer_text(w, "\"");
        writer_bytes(w, s, 1);
    }
    writer_text(w, "\"");
}

void writer_adopt(struct writer *w, const char *name)
{
    if (w->message || access(join(w, w->partial, name), F_OK) != 0) return;
    array_push(w->arena, &w->files, arena_text(w->arena, name, strlen(name)));
}

void writer_rename(struct writer *w, const char *from, const char *to)
{
    writer_pause(w);
    for (int i = 0; i < w->files.n && !w->message; i++) {
        if (strcmp(w->files.at[i], from) != 0) continue;
        w->files.at[i] = arena_text(w->arena, to, strlen(to));
        const char *path = join(w, w->partial, to);
        if (rename(join(w, w->partial, from), path) != 0) fail(w, path, errno);
    }
}

void writer_retire(struct writer *w, const char *name)
{
    array_push(w->arena, &w->retired, arena_text(w->arena, name, strlen(name)));
}

/* ---- the end ---- */

static bool is_new(const struct writer *w, const char *name)
{
    for (int i = 0; i < w->files.n; i++)
        if (strcmp(w->files.at[i], name) == 0) return true;
    return false;
}

/* Before the first file moves, everything that can be seen to be in the way is found. */
static void clear_way(struct writer *w)
{
    for (int i = 0; i < w->files.n && !w->message; i++) {
        make_parents(w, w->folder, w->files.at[i], &w->made);
        const char *target = join(w, w->folder, w->files.at[i]);
        if (is_folder(target)) fail(w, target, EISDIR);
    }
}

enum status writer_commit(struct writer *w)
{
    assert(!w->done);
    writer_pause(w);
    if (!w->message) clear_way(w);
    for (int i = 0; i < w->files.n && !w->message; i++) {
        const char *target = join(w, w->folder, w->files.at[i]);
        if (rename(join(w, w->partial, w->files.at[i]), target) != 0) fail(w, target, errno);
    }
    if (w->message) {
        writer_abandon(w);
        return STATUS_WRITE;
    }
    for (int i = 0; i < w->retired.n; i++)
        if (!is_new(w, w->retired.at[i])) unlink(join(w, w->folder, w->retired.at[i]));
    remove_partial(w);
    w->done = true;
    return STATUS_OK;
}

void writer_abandon(struct writer *w)
{
    if (w->done) return;
    w->done = true;
    if (w->out) fclose(w->out);
    w->out = NULL;
    remove_partial(w);
    for (int i = w->made.n - 1; i >= 0; i--) rmdir(w->made.at[i]); /* only when it is empty */
}

const char *writer_partial(const struct writer *w)
{
    return w->partial;
}

const char *writer_message(const struct writer *w)
{
    return w->message;
}

/* ---- one new file ---- */

static int write_all(int fd, const char *text, size_t bytes)
{
    for (size_t n = 0; n < bytes;) {
        ssize_t got = write(fd, text + n, bytes - n);
        if (got < 0 && errno != EINTR) return errno;
        if (got > 0) n += (size_t)got;
    }
    return 0;
}

const char *writer_new_file(struct arena *arena, const char *path, const char *text, size_t bytes)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0 && errno == EEXIST)
        return arena_printf(arena, "%s exists already and is left as it is", path);
    if (fd < 0) return arena_printf(arena, "%s: %s", path, strerror(errno));
    int error = write_all(fd, text, bytes);
    if (close(fd) != 0 && !error) error = errno;
    if (error) unlink(path);
    return error ? arena_printf(arena, "%s: %s", path, strerror(error)) : NULL;
}
