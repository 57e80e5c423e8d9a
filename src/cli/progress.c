/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The line is written again only when it would read differently. */
#include "progress.h"

#include <math.h>
#include <time.h>

#include "browser.h"
#include "words_progress.h"

enum { BAR = 30 };
#define SOON 0.5    /* [s] before which the pace says nothing: first cycles cost more */
#define LONG 10.0   /* [s] that a run may take without a word */
#define LONGER 60.0 /* [s] left: else it is not worth one */

double progress_now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

struct progress progress_begin(FILE *to, FILE *note)
{
    return (struct progress){.to = to, .note = note, .shown = -1};
}

/* Once, of a run that has taken long and will take longer. */
static void tell_pace(struct progress *p, double gone, double left)
{
    const struct run_pace *pace = &p->pace;
    if (!p->note || p->told || gone < LONG || left < LONGER) return;
    p->told = true;
    progress_clear(p);
    fprintf(p->note, words_progress_slow, pace->time, 1e6 * pace->step,
            pace->part ? pace->part : words_progress_volts, pace->steps, pace->switches);
}

void progress_show(struct progress *p, double done)
{
    if (!(done > 0)) return;
    browser_progress(done);
    if (p->begun == 0) p->begun = progress_now(), p->first = done;
    double gone = progress_now() - p->begun, way = done - p->first,
           left = way > 0 ? gone * (1 - done) / way : 0;
    tell_pace(p, gone, way > 0 ? left : HUGE_VAL);
    if (!p->to || !(way > 0) || gone < SOON) return;
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
    if (p->to && p->shown >= 0) fprintf(p->to, "\r%*s\r", PROGRESS_LINE, "");
}
