/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TROFF_H
#define PRESOLDER_TROFF_H

#include <stdio.h>

/* A manual page in the macros of mdoc(7). */

/* The head of page NAME(section) of that date (YYYY-MM-DD; "": none), and its NAME section. */
struct troff_head {
    const char *name, *says, *date, *version;
    int section;
};
void troff_head(FILE *to, const struct troff_head *head);

/* `.Sh TITLE`, in capitals whatever the case of the title. */
void troff_section(FILE *to, const char *title);
void troff_subsection(FILE *to, const char *title);

/* Running text, filled: line ends are blanks, what stands in backquotes is bold. An empty line
 * begins a paragraph. */
void troff_text(FILE *to, const char *text);

/* A list of terms: begin, then each term and what it is, end. */
void troff_list(FILE *to);
void troff_term(FILE *to, const char *term, const char *argument, const char *says);
void troff_end_list(FILE *to);

/* A line shown as it is, set in. */
void troff_example(FILE *to, const char *line);

/* `NAME(section)` as a reference, with what follows it (" ,", or ""). */
void troff_reference(FILE *to, const char *name, int section, const char *behind);

#endif
