/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_CSV_H
#define PRESOLDER_CSV_H

#include <stdbool.h>
#include <stddef.h>

/* Reads CSV as RFC 4180 has it, in place: the text is changed. Lines may end with \n or \r\n;
 * quotes hold separators, line ends and doubled quotes. */

struct csv {
    char *at;       /* what is left of the text */
    char separator; /* ',' unless the caller sets another */
    int line;       /* of what is left, from 1 */
};

struct csv_record {
    int line;  /* where it begins */
    int n;     /* fields it has, also those beyond `most` */
    bool open; /* a quote in it is never closed */
};

/* The separator of a text: the first of , ; and tab in its first line outside of quotes; else a
 * comma. */
char csv_separator(const char *text);

/* The next record: its first `most` fields, those it has not empty, and the column of each (from 1,
 * in bytes; `column` may be NULL). False at the end of the text. */
bool csv_next(struct csv *csv, char **field, int *column, int most, struct csv_record *record);

#endif
