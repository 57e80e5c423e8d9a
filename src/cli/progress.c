/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The line is written again only when it would read differently. */
#include "progress.h"
#include "words_progress.h"

#include <time.h>

enum { BAR = 30, LINE = 64 };

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

struct progress progress_begin(FILE *to)
{
    return (struct progress){.to = to, .begun = now(), .shown = -1};
}

void progress_show(struct progress *p, double done)
{
    if (!p->to || !(done > 0)) return;
    double left = (now() - p->begun) * (1 - done) / done;
    long seconds = left < 359999 ? (long)(left + 0.5) : 359999;
    long percent = (long)(100 * done), shows = percent * 360000 + seconds;
    if (shows == p->shown) return;
    p->shown = shows;
    char bar[BAR + 1];
    for (int i = 0; i < BAR; i++) bar[i] = i < (int)(BAR * done) ? '#' : '.';
    bar[BAR] = 0;
    fprintf(p->to, words_progress_bar, bar, percent, seconds / 60, seconds % 60);
    fflush(p->to);
}

void progress_clear(const struct progress *p)
{
    if (p->to && p->shown >= 0) fprintf(p->to, "\r%*s\r", LINE, "");
}
