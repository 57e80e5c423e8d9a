/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WRITER_IMPL_H
#define PRESOLDER_WRITER_IMPL_H

/* Inside of writer.c and its neighbours only: what a writer holds, and how files come into
 * place. */

#include "array.h"
#include "writer.h"

typedef ARRAY(const char *) writer_names;

struct writer {
    struct arena *arena;
    const char *folder, *partial;
    writer_names files;   /* relative to both folders */
    writer_names retired; /* relative to the target */
    writer_names made;    /* folders made for the target, outer ones first */
    writer_names inner;   /* the partial folder and those in it, outer ones first */
    char *buffer;         /* of the running file */
    size_t used;          /* bytes in it */
    int out;              /* the running file; -1: none */
    FILE *stream;         /* in place of files; NULL: files */
    int moved;            /* files in place, while they move */
    const char *message;
    bool moving, done;
};

/* The first thing that went wrong is kept; `error` as in errno. Memory that ran out goes where the
 * arena says. */
void writer_fail(struct writer *w, const char *path, int error);

/* Longest path with its final 0. Longer ones are cut short, so nothing is found there. */
enum { WRITER_PATH = 4096 };

/* `folder/name` in `out`; without stdio and memory, so that a signal handler may call it. */
const char *writer_path(char out[WRITER_PATH], const char *folder, const char *name);

/* Moves everything of the partial folder into place, old files out of the way first. False with the
 * message set; then everything is where it was. */
bool writer_move(struct writer *w);

/* Brings back what writer_move has moved, when it was left half way. */
void writer_move_back(struct writer *w);

/* Removes a folder with everything in it. */
void writer_remove(const char *folder);

/* What processes that are no more have left in `folder`: a run that was not finished goes, and one
 * that was killed while its files moved is taken back, or completed when all old ones were out of
 * the way. */
void writer_recover(const char *folder);

#endif
