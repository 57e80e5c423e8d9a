/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Files are listed as they are begun; a file is in its final place only after writer_commit moved
 * it. Folders that had to be made are remembered in order, so that giving up can take back exactly
 * those. The bytes go to the system by hand: it says the true reason when one cannot be written. */
#include "writer_impl.h"

#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "decimal.h"
#include "file.h"

enum { BUFFER_BYTES = 64 * 1024 };

void writer_fail(struct writer *w, const char *path, int error)
{
    if (error == ENOMEM) arena_exhausted(w->arena);
    if (!w->message) w->message = arena_printf(w->arena, "%s: %s", path, strerror(error));
}

const char *writer_path(char out[WRITER_PATH], const char *folder, const char *name)
{
    size_t n = strlen(folder), m = strlen(name);
    bool slash = n > 0 && folder[n - 1] != '/';
    if (n + m + 2 > WRITER_PATH) n = m = 0, slash = false;
    memcpy(out, folder, n);
    if (slash) out[n++] = '/';
    memcpy(out + n, name, m);
    out[n + m] = 0;
    return out;
}

static const char *join(struct writer *w, const char *folder, const char *name)
{
    const char *slash = folder[0] && folder[strlen(folder) - 1] == '/' ? "" : "/";
    const char *path = arena_printf(w->arena, "%s%s%s", folder, slash, name);
    if (strlen(path) + 16 > WRITER_PATH) writer_fail(w, path, ENAMETOOLONG);
    return path;
}

static const char *running(struct writer *w)
{
    return join(w, w->folder, w->files.at[w->files.n - 1]);
}

/* ---- folders ---- */

static bool is_folder(const char *path)
{
    struct stat st;
    return stat(path, &st) == 0 && S_ISDIR(st.st_mode);
}

/* Makes the folder `path` and its parents; those that were not there are added to `made`. */
static void make_folders(struct writer *w, const char *path, writer_names *made)
{
    size_t n = strlen(path);
    for (size_t i = 1; i <= n && !w->message; i++) {
        if (i < n && path[i] != '/') continue;
        const char *part = arena_text(w->arena, path, i);
        array_push(w->arena, made, part); /* first: one that nobody knows of would stay */
        if (mkdir(part, 0777) == 0) continue;
        int error = errno;
        made->n--;
        if (!is_folder(part)) writer_fail(w, part, error == EEXIST ? ENOTDIR : error);
    }
}

/* The parents of `name` under `folder`. */
static void make_parents(struct writer *w, const char *folder, const char *name, writer_names *made)
{
    const char *slash = strrchr(name, '/');
    if (!slash) return;
    make_folders(w, join(w, folder, arena_text(w->arena, name, (size_t)(slash - name))), made);
}

static void give_up(void *writer)
{
    writer_abandon(writer);
}

/* A name nobody has: a process may write several sets at a time. */
static void make_partial(struct writer *w)
{
    for (int i = 0; i < 100; i++) {
        w->partial =
            join(w, w->folder, arena_printf(w->arena, ".partial-%ld-%d", (long)getpid(), i));
        if (w->message) return;
        array_push(w->arena, &w->inner, w->partial);
        if (mkdir(w->partial, 0777) == 0) return;
        w->inner.n--;
        if (errno != EEXIST) break;
    }
    writer_fail(w, w->folder, errno);
}

struct writer *writer_begin(struct arena *arena, const char *folder)
{
    struct writer *w = ARENA_NEW(arena, struct writer);
    w->arena = arena;
    w->out = -1;
    w->folder = arena_text(arena, folder, strlen(folder));
    w->buffer = arena_alloc(arena, BUFFER_BYTES);
    arena_at_free(arena, give_up, w);
    make_folders(w, w->folder, &w->made);
    if (!w->message) writer_recover(w->folder);
    if (!w->message) make_partial(w);
    return w;
}

struct writer *writer_stream(struct arena *arena, FILE *to)
{
    struct writer *w = ARENA_NEW(arena, struct writer);
    w->arena = arena;
    w->out = -1;
    w->stream = to;
    w->buffer = arena_alloc(arena, BUFFER_BYTES);
    return w;
}

/* ---- files ---- */

/* 0, or what errno says. */
static int write_all(int fd, const char *text, size_t bytes)
{
    for (size_t n = 0; n < bytes;) {
        ssize_t got = write(fd, text + n, bytes - n);
        if (got < 0 && errno != EINTR) return errno;
        if (got > 0) n += (size_t)got;
    }
    return 0;
}

/* Some file systems cannot sync, and say so by these. */
static int sync_file(int fd)
{
    return fsync(fd) == 0 || errno == EINVAL || errno == ENOTSUP ? 0 : errno;
}

static void empty_buffer(struct writer *w)
{
    size_t n = w->used;
    w->used = 0;
    if (w->stream) {
        fwrite(w->buffer, 1, n, w->stream);
        return;
    }
    int error = w->message ? 0 : write_all(w->out, w->buffer, n);
    if (error) writer_fail(w, running(w), error);
}

void writer_pause(struct writer *w)
{
    if (w->stream) empty_buffer(w);
    if (w->out < 0) return;
    empty_buffer(w);
    int fd = w->out, error = w->message ? 0 : sync_file(fd);
    w->out = -1;
    if (close(fd) != 0 && !error) error = errno;
    if (error) writer_fail(w, running(w), error);
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
    array_push(w->arena, &w->files, name);
    w->out = open(path, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
    if (w->out < 0) writer_fail(w, path, errno);
}

void writer_bytes(struct writer *w, const char *bytes, size_t n)
{
    while (n > 0 && !w->message) {
        assert(w->out >= 0 || w->stream);
        if (w->used == BUFFER_BYTES) empty_buffer(w);
        size_t some = BUFFER_BYTES - w->used;
        if (some > n) some = n;
        memcpy(w->buffer + w->used, bytes, some);
        w->used += some;
        bytes += some;
        n -= some;
    }
}

void writer_text(struct writer *w, const char *text)
{
    writer_bytes(w, text, strlen(text));
}

void writer_format(struct writer *w, const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int n = vsnprintf(NULL, 0, format, args);
    va_end(args);
    assert(n >= 0);
    if (!w->message && (size_t)n >= BUFFER_BYTES - w->used) empty_buffer(w);
    if ((size_t)n < BUFFER_BYTES) {
        vsnprintf(w->buffer + w->used, BUFFER_BYTES - w->used, format, again);
        w->used += w->message ? 0 : (size_t)n;
    } else {
        char *text = arena_alloc(w->arena, (size_t)n + 1);
        vsnprintf(text, (size_t)n + 1, format, again);
        writer_bytes(w, text, (size_t)n);
    }
    va_end(again);
}

void writer_number(struct writer *w, double value)
{
    char text[DECIMAL_BYTES];
    writer_bytes(w, text, (size_t)decimal_format(text, value));
}

void writer_field(struct writer *w, const char *text)
{
    bool formula = text[0] && strchr("=+-@\t\r", text[0]);
    bool quoted = text[strcspn(text, ",\"\r\n")];
    if (quoted) writer_text(w, "\"");
    if (formula) writer_text(w, "'");
    for (const char *s = text; *s; s++) {
        if (*s == '"') writer_text(w, "\"");
        writer_bytes(w, s, 1);
    }
    if (quoted) writer_text(w, "\"");
}

bool writer_adopt(struct writer *w, const char *name)
{
    struct stat about;
    if (w->message || stat(join(w, w->partial, name), &about) != 0 || about.st_size == 0)
        return false;
    array_push(w->arena, &w->files, arena_text(w->arena, name, strlen(name)));
    return true;
}

void writer_rename(struct writer *w, const char *from, const char *to)
{
    writer_pause(w);
    for (int i = 0; i < w->files.n && !w->message; i++) {
        if (strcmp(w->files.at[i], from) != 0) continue;
        const char *old = join(w, w->partial, from), *path = join(w, w->partial, to);
        if (rename(old, path) != 0) writer_fail(w, path, errno);
        else w->files.at[i] = arena_text(w->arena, to, strlen(to));
    }
}

void writer_retire(struct writer *w, const char *name)
{
    array_push(w->arena, &w->retired, arena_text(w->arena, name, strlen(name)));
}

void writer_retire_plot(struct writer *w, const char *name)
{
    static const char *const endings[] = {"gp", "svg", "png"};
    for (int i = 0; i < 3; i++)
        writer_retire(w, arena_printf(w->arena, "plots/%s.%s", name, endings[i]));
}

void writer_retire_plots(struct writer *w, const char *prefix)
{
    struct file_names names;
    const char *folder = join(w, w->folder, "plots");
    if (file_list(w->arena, folder, &names) == ENOMEM) arena_exhausted(w->arena);
    for (int i = 0; i < names.n; i++) {
        const char *name = names.at[i];
        size_t n = strlen(name);
        if (n < 3 || strcmp(name + n - 3, ".gp") != 0) continue;
        if (strncmp(name, prefix, strlen(prefix)) == 0)
            writer_retire_plot(w, arena_text(w->arena, name, n - 3));
    }
}

void writer_retire_none(struct writer *w)
{
    w->retired.n = 0;
}

/* ---- the end ---- */

/* Before the first file moves, everything that can be seen to be in the way is found. */
static void clear_way(struct writer *w)
{
    for (int i = 0; i < w->files.n && !w->message; i++) {
        make_parents(w, w->folder, w->files.at[i], &w->made);
        const char *target = join(w, w->folder, w->files.at[i]);
        if (is_folder(target)) writer_fail(w, target, EISDIR);
    }
}

/* Folders from which the last file went. */
static void remove_empty(const struct writer *w)
{
    char path[WRITER_PATH];
    for (int i = 0; i < w->retired.n; i++) {
        const char *slash = strrchr(w->retired.at[i], '/');
        if (!slash) continue;
        writer_path(path, w->folder, w->retired.at[i]);
        *strrchr(path, '/') = 0;
        rmdir(path);
    }
}

enum status writer_commit(struct writer *w)
{
    assert(!w->done);
    writer_pause(w);
    if (!w->message) clear_way(w);
    if (w->message || !writer_move(w)) {
        writer_abandon(w);
        if (w->moving)
            w->message =
                arena_printf(w->arena, "%s; the earlier results are in %s", w->message, w->partial);
        return STATUS_WRITE;
    }
    writer_remove(w->partial);
    remove_empty(w);
    w->done = true;
    return STATUS_OK;
}

/* Without memory where nothing but our own files is in the way, for there may be none left. */
void writer_drop(const struct writer *w)
{
    char path[WRITER_PATH];
    for (int i = 0; i < w->files.n; i++)
        if (w->files.at[i]) unlink(writer_path(path, w->partial, w->files.at[i]));
    for (int i = w->inner.n - 1; i >= 0; i--)
        if (w->inner.at[i]) rmdir(w->inner.at[i]);
}

void writer_abandon(struct writer *w)
{
    if (w->done) return;
    w->done = true;
    if (w->out >= 0) close(w->out);
    w->out = -1;
    writer_move_back(w);
    if (w->moving) return; /* nothing moves any more; the next run in this folder may succeed */
    writer_drop(w);
    for (int i = 0; i < w->inner.n && i < 1; i++) writer_remove(w->inner.at[i]);
    for (int i = w->made.n - 1; i >= 0; i--) rmdir(w->made.at[i]); /* only when it is empty */
}

const char *writer_partial(const struct writer *w)
{
    return w->partial;
}

struct arena *writer_arena(const struct writer *w)
{
    return w->arena;
}

const char *writer_message(const struct writer *w)
{
    return w->message;
}

/* ---- one new file ---- */

const char *writer_new_file(struct arena *arena, const char *path, const char *text, size_t bytes)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0 && errno == EEXIST)
        return arena_printf(arena, "%s exists already and is left as it is", path);
    if (fd < 0) return arena_printf(arena, "%s: %s", path, strerror(errno));
    int error = write_all(fd, text, bytes);
    if (!error) error = sync_file(fd);
    if (close(fd) != 0 && !error) error = errno;
    if (error) unlink(path);
    return error ? arena_printf(arena, "%s: %s", path, strerror(error)) : NULL;
}
