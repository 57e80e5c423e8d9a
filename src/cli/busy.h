/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BUSY_H
#define PRESOLDER_BUSY_H

#include <stdio.h>

/* How busy the processors were while many runs were made. It is told and never written to a file,
 * for it is another every time. */
struct busy {
    double wall, cpu; /* [s] at the beginning; once ended: spent */
};

struct busy busy_begin(void);
void busy_end(struct busy *b);

/* `20 runs in 6.1 s, 2 jobs busy 97 %.`: processor time of the program over time and jobs, of which
 * there are no more than runs. jobs = 0: as many as there are processors. */
void busy_write(FILE *to, const struct busy *b, int runs, int jobs);

#endif
