/* SPDX-License-Identifier: GPL-3.0-or-later */
/* When the caller is asked whether to end, and what it is told then. */
#include "numbers.h"
#include "session.h"

#define ASK_AFTER 256     /* steps of a small set: more than their periods have, some ms */
#define STEP_WORK 5e4     /* multiplications in a step of a small set, about */
#define SMALL_UNKNOWNS 32 /* the most a small set has, about; work goes with the cube above */

double session_work(int n)
{
    double times = (double)n / SMALL_UNKNOWNS;
    return 1 + times * times * times;
}

int session_ask(struct session *s)
{
    const struct run_options *o = &s->options;
    if (o->pace && s->solver && s->now.r && s->now.r->ny > 0) { /* no stage is being put in force */
        *o->pace = s->pace;
        o->pace->time = s->now.t;
        o->pace->step = s->now.t - rosenbrock_previous(s->solver);
        o->pace->part = trouble_part(s, rosenbrock_worst(s->solver));
    }
    if (!s->only_steady)
        s->done = larger(s->done, run_done(o, s->now.t)); /* trials go back in time */
    return o->progress(o->progress_context, s->done);
}

bool session_asks(struct session *s, double work)
{
    const struct run_options *o = &s->options;
    s->asked += work;
    if (s->cut || !o->progress || s->asked < ASK_AFTER) return s->cut;
    s->asked = 0;
    s->cut |= session_ask(s) != 0;
    s->halted |= s->cut;
    return s->cut;
}

bool session_wants_end(void *session, double multiplications)
{
    return session_asks(session, multiplications / STEP_WORK);
}

bool session_interrupted(struct session *s)
{
    s->now.status = STATUS_INTERRUPTED;
    s->now.trouble = (struct trouble){
        .cause = TROUBLE_INTERRUPTED, .time = s->now.t, .until = s->options.duration};
    return true;
}
