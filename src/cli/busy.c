/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The clocks are the system's: one of the wall, one of all threads of the process. */
#include "busy.h"

#include <time.h>

#include "page.h"
#include "pool.h"
#include "words_progress.h"

static double read_clock(clockid_t which)
{
    struct timespec t;
    if (clock_gettime(which, &t) != 0) return 0;
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

struct busy busy_begin(void)
{
    return (struct busy){read_clock(CLOCK_MONOTONIC), read_clock(CLOCK_PROCESS_CPUTIME_ID)};
}

void busy_end(struct busy *b)
{
    struct busy now = busy_begin();
    *b = (struct busy){now.wall - b->wall, now.cpu - b->cpu};
}

void busy_write(FILE *to, const struct busy *b, int runs, int jobs)
{
    if (page_style().html) return; /* no line of text in between */
    if (jobs <= 0) jobs = pool_processors();
    if (jobs > runs) jobs = runs;
    if (!(b->wall > 0) || !(b->cpu > 0) || jobs < 1) return; /* in a page no time is known */
    fprintf(to, words_progress_busy, runs, runs == 1 ? "" : words_progress_busy_many, b->wall, jobs,
            jobs == 1 ? "" : words_progress_busy_many, 100 * b->cpu / (b->wall * jobs));
}
