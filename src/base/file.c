/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What must be given back is never open while memory is taken from an arena, which may jump
 * away. */
#include "file.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

int file_read(const char *path, char *to, size_t room, size_t *n)
{
    *n = 0;
    int fd = open(path, O_RDONLY | O_CLOEXEC);
    if (fd < 0) return errno;
    int error = 0;
    while (*n < room && !error) {
        ssize_t got = read(fd, to + *n, room - *n);
        if (got == 0) break;
        if (got > 0) *n += (size_t)got;
        else if (errno != EINTR) error = errno;
    }
    close(fd);
    return error;
}

static int compare_names(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

/* Copies names one behind the other with their final 0 into `to`, as many as find room (NULL:
 * none), and counts the bytes of all. 0 or what errno says. */
static int copy_names(const char *folder, char *to, size_t room, size_t *bytes)
{
    DIR *dir = opendir(folder);
    if (!dir) return errno;
    *bytes = 0;
    for (const struct dirent *e; (e = readdir(dir));) {
        size_t n = strlen(e->d_name) + 1;
        if (to && *bytes + n > room) break;
        if (to) memcpy(to + *bytes, e->d_name, n);
        *bytes += n;
    }
    closedir(dir);
    return 0;
}

int file_list(struct arena *arena, const char *folder, struct file_names *names)
{
    size_t room = 0, bytes = 0;
    *names = (struct file_names){NULL, 0};
    int error = copy_names(folder, NULL, 0, &room);
    if (error) return error;
    char *text = arena_alloc(arena, room);
    error = copy_names(folder, text, room, &bytes);
    if (error) return error;
    for (const char *s = text; s < text + bytes; s += strlen(s) + 1) names->n++;
    names->at = ARENA_ARRAY(arena, const char *, names->n);
    int n = 0;
    for (const char *s = text; s < text + bytes; s += strlen(s) + 1) names->at[n++] = s;
    if (n > 0) qsort(names->at, (size_t)n, sizeof names->at[0], compare_names);
    return 0;
}
