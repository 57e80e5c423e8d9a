/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two rows of steps, that of the stretch before and that of the running one, which change places
 * when a stretch begins. Times are asked for and noted in rising order. A stretch that grew from the
 * one before last to the last is taken to go on growing: what lies within it moves in proportion. */
#include "rosenbrock_impl.h"

#include <math.h>

#include "numbers.h"

enum { TRACK_STEPS = 256 }; /* more of one stretch are not followed */
#define GROWS 0.1           /* of a stretch, at most: more is another one */

struct track_row {
    int n;
    double event; /* where it ended with one, since its begin [s]; inf: it did not */
    double since[TRACK_STEPS], fits[TRACK_STEPS]; /* begin of a step since that of the stretch, and
                                                     what would have met the tolerance [s] */
};

struct rosenbrock_track {
    struct track_row rows[2], *before, *now;
    double event; /* where the running one is expected to end with one [s]; inf: nowhere */
    double grown; /* how many times as long as the one before it is taken to be */
    int at;       /* the last of `before` that begins no later than asked for last */
};

struct rosenbrock_track *rosenbrock_track_new(struct arena *arena)
{
    struct rosenbrock_track *k = ARENA_NEW(arena, struct rosenbrock_track);
    k->before = &k->rows[0];
    k->now = &k->rows[1];
    k->before->event = k->now->event = k->event = HUGE_VAL;
    k->grown = 1;
    return k;
}

void rosenbrock_follow(struct rosenbrock *s, struct rosenbrock_track *track)
{
    s->track = track;
    s->origin = s->time;
    if (!track) return;
    struct track_row *last = track->now;
    track->at = 0;
    if (last->n == 0) return;
    const double was = track->before->event, is = last->event, grows = is - was;
    const bool goes_on = isfinite(is) && isfinite(was) && fabs(grows) < GROWS * is;
    track->event = goes_on ? is + grows : is;
    track->grown = goes_on ? track->event / is : 1;
    track->now = track->before;
    track->before = last;
    track->now->n = 0;
    track->now->event = HUGE_VAL;
}

double rosenbrock_track_step(const struct rosenbrock *s)
{
    struct rosenbrock_track *k = s->track;
    if (!k || k->before->n == 0) return HUGE_VAL;
    const struct track_row *row = k->before;
    const double since = (s->time - s->origin) / k->grown;
    while (k->at + 1 < row->n && row->since[k->at + 1] <= since) k->at++;
    if (k->at + 1 == row->n) return HUGE_VAL;
    const double a = row->since[k->at], b = row->since[k->at + 1], share = (since - a) / (b - a);
    double step = row->fits[k->at] + share * (row->fits[k->at + 1] - row->fits[k->at]);
    /* no farther than those went that began within it: the way to a bend is made in small steps */
    for (int m = k->at + 1; m < row->n && row->since[m] < since + step; m++)
        step = smaller(step, row->since[m] + row->fits[m] - since);
    return step * k->grown;
}

void rosenbrock_track_note(struct rosenbrock *s, double start, double step)
{
    if (!s->track || s->track->now->n == TRACK_STEPS) return;
    struct track_row *row = s->track->now;
    row->since[row->n] = start - s->origin;
    row->fits[row->n++] = step;
}

double rosenbrock_track_event(const struct rosenbrock *s)
{
    return s->track ? s->origin + s->track->event : HUGE_VAL;
}

void rosenbrock_track_end(struct rosenbrock *s)
{
    if (s->track) s->track->now->event = s->time - s->origin;
}
