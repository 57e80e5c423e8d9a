/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_EXERCISE_PAGES_H
#define PRESOLDER_EXERCISE_PAGES_H

#include "diag.h"
#include "exercise.h"
#include "writer.h"

/* The pages of an exercise. The pupils' one holds nothing that depends on the faults but what the
 * owner says and what the cards read; its cards and lists are the same on all sheets of a set. */

struct exercise_pages {
    struct writer *w;
    struct arena *arena;
    const struct exercise *e;
    bool colour, zigzag;
    const char *command; /* that makes the same sheets again */
    const char *series;  /* on every page, so that a key is known for its sheets */
    const char *fuse;    /* a fuse of the set; NULL: none */
};

struct exercise_pages exercise_pages_of(struct writer *w, struct arena *arena,
                                        const struct exercise *e, const char *fault);

/* pupils.html: every sheet with its cards. */
void exercise_pupils_write(const struct exercise_pages *p);

/* key.html: all sheets. Takes the pictures that were drawn from the partial files. */
void exercise_key_write(const struct exercise_pages *p);

/* demonstration.html. */
void exercise_show_write(const struct exercise_pages *p);

/* What the terminal shows: faults and where the pages are. */
void exercise_text_write(FILE *to, const struct exercise_pages *p, const char *folder);

/* ---- among these files ---- */

/* `C1: leaky (leakage 6.3 kohm)`; of two faults both. */
const char *exercise_pages_fault(const struct exercise_pages *p,
                                 const struct exercise_sheet *sheet);
const char *exercise_pages_severity(const struct exercise_pages *p, const struct exercise_fault *f);

/* What a card reads: `181 V`, `open`, or why it reads nothing. */
const char *exercise_pages_value(const struct exercise_pages *p, int read, double compared);

/* What the owner says. */
const char *exercise_pages_owner(const struct exercise_pages *p,
                                 const struct exercise_sheet *sheet);

/* The file of a picture as it was drawn, *bytes long; NULL: it was not. */
const char *exercise_pages_picture(const struct exercise_pages *p, const char *name, size_t *bytes);

/* What goes over its rating by the fault of a sheet that did not before, in the order of time: at
 * most `most` rows of a time and a sentence; returns how many there are. */
struct exercise_harm {
    double time; /* [s] */
    const char *what;
};
int exercise_pages_harm(const struct exercise_pages *p, const struct exercise_sheet *sheet,
                        struct exercise_harm *rows, int most);

#endif
