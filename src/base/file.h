/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FILE_H
#define PRESOLDER_FILE_H

#include "arena.h"

/* Reads at most `room` bytes of a file into `to`, *n in all. 0, or what errno says. */
int file_read(const char *path, char *to, size_t room, size_t *n);

struct file_names {
    const char **at;
    int n;
};

/* The names of all entries of a folder in the order of their bytes. Returns 0, or what errno says
 * and no names. */
int file_list(struct arena *arena, const char *folder, struct file_names *names);

#endif
