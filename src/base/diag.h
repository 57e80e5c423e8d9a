/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DIAG_H
#define PRESOLDER_DIAG_H

#include <stdio.h>

#include "arena.h"

/* A position in a file a person wrote. line and column count from 1; line 0 = no position. */
struct place {
    const char *file;
    int line, column;
};

enum severity { DIAG_ERROR, DIAG_WARNING, DIAG_NOTE };

/* One message to the user. Texts live in the arena of the list. */
struct diag {
    enum severity severity;
    struct place at;
    const char *message; /* what is wrong, in one sentence without a final stop */
    const char *hint;    /* what to do about it, or NULL */
};

/* All messages of one reading, in the order they were found. */
struct diags;

/* A new empty list whose texts live in `arena`. */
struct diags *diags_new(struct arena *arena);

/* Makes the text of a file known, so that messages can quote its lines; the text must outlive the
 * list. */
void diags_source(struct diags *diags, const char *file, const char *text);

/* Adds a message. `hint` may be NULL and is copied. */
void diags_add(struct diags *diags, enum severity severity, struct place at, const char *hint,
               const char *format, ...) __attribute__((format(printf, 5, 6)));

int diags_errors(const struct diags *diags); /* number of errors so far */
int diags_count(const struct diags *diags);
const struct diag *diags_at(const struct diags *diags, int i);

/* Writes all messages: `file:line:column: error: message`, the line itself, a caret, `hint: ...`.
 * Sorted by file and position; the same message at the same place is written once. Of a long line
 * the part around the caret is shown; control characters and broken UTF-8 are written as `?`. */
void diags_print(const struct diags *diags, FILE *to);

#endif
