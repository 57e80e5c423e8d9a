/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A run that cannot go on says when, near which part and points, and what to do: provoked by laws
 * that no real part has. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "handmade.h"
#include "ladder.h"
#include "near.h"
#include "session.h"
#include "words_trouble.h"

static void nothing(const void *par, const double *s, const double *x, double *c)
{
    (void)par, (void)s, (void)x;
    c[0] = 0;
}

static double no_current(const void *par, int port, const double *c, double v, double *g)
{
    (void)par, (void)port, (void)c, (void)v;
    *g = 0;
    return 0;
}

static double endless_current(const void *par, int port, const double *c, double v, double *g)
{
    (void)par, (void)port, (void)c, (void)v;
    return *g = (double)NAN;
}

/* s' = 50 s^2 from 1 has no solution beyond 20 ms. */
static void away(const void *par, const double *v, const double *s, const double *c, double *ds)
{
    (void)par, (void)v, (void)c;
    ds[0] = 50 * s[0] * s[0];
}

static void away_slopes(const void *par, const double *v, const double *s, const double *x,
                        const double *c, struct device_slopes *d)
{
    (void)par, (void)v, (void)x, (void)c;
    d->ds_s[0][0] = 100 * s[0];
}

static void endless_slopes(const void *par, const double *v, const double *s, const double *x,
                           const double *c, struct device_slopes *d)
{
    (void)par, (void)v, (void)s, (void)x, (void)c;
    d->ds_s[0][0] = HUGE_VAL;
}

static const struct device_law runs_away = {"runs away", false,       nothing, no_current,
                                            away,        away_slopes, NULL,    NULL},
                               no_slope = {"no slope", false,          nothing, no_current,
                                           away,       endless_slopes, NULL,    NULL},
                               no_answer = {"no answer", false,       nothing, endless_current,
                                            away,        away_slopes, NULL,    NULL};

/* 10 V crest behind 100 ohm, 1 uF, and beside it a part of this law. */
static const struct result *run_with(struct handmade *h, const struct device_law *law)
{
    *h = handmade_new(60);
    hand_sine(h, "S", "a", "0", 10, 0);
    hand_r(h, "R", "a", "b", 100);
    hand_c(h, "C", "b", "0", 1e-6, 0);
    hand_watch(h, "b");
    const int d = circuit_device(h->c, "odd one", "law", law, NULL);
    circuit_state(h->c, d, "state", (struct state){.cold = 1, .hot = 1, .range = 1});
    circuit_port(h->c, d, "port", circuit_point(h->c, "b"), 0, PORT_BYPASSED);
    struct run_options o = run_defaults();
    o.angle = 0;
    o.duration = 0.1;
    const struct result *r = run_simulate(h->arena, hand_setup(h), &o);
    assert_int_equal(r->status, STATUS_SOLUTION);
    return r;
}

static void the_step_becomes_too_small(void **state)
{
    struct handmade h;
    const struct result *r = run_with(&h, &runs_away);
    (void)state;
    assert_int_equal(r->trouble.cause, TROUBLE_TINY_STEP);
    near_abs(r->trouble.time, 0.02, 1e-5, "s");
    assert_non_null(strstr(words_trouble(h.arena, r->status, &r->trouble),
                           "the time step became too small near odd one, b, 0: look at the "
                           "values of this part, and at those of what it is joined to"));
    handmade_free(&h);
}

static void the_equations_become_singular(void **state)
{
    struct handmade h;
    const struct result *r = run_with(&h, &no_slope);
    (void)state;
    assert_int_equal(r->trouble.cause, TROUBLE_SINGULAR);
    assert_string_equal(words_trouble(h.arena, r->status, &r->trouble),
                        "at 0 s: the equations became singular near odd one, b, 0: look at the "
                        "values of this part, and at those of what it is joined to");
    handmade_free(&h);
}

static void the_equations_have_no_solution(void **state)
{
    struct handmade h;
    const struct result *r = run_with(&h, &no_answer);
    (void)state;
    assert_string_equal(
        words_trouble(h.arena, r->status, &r->trouble),
        "at 0 s: these parts find no state that agrees with itself: odd one; look at the "
        "values beside them");
    handmade_free(&h);
}

/* Of a mode the capacitor that has most of it is named. */
static void a_mode_is_of_a_part(void **state)
{
    struct arena *arena = arena_new();
    struct run_options o = run_defaults();
    (void)state;
    o.angle = 0;
    o.duration = 1;
    struct session *s = session_new(arena, ladder_setup(arena, 40), &o);
    assert_true(session_stage(s, 0));
    assert_true(s->now.r->modal > 30);
    for (int i = 0; i < s->now.r->modal; i++) {
        const char *part = trouble_part(s, i), *place = trouble_place(s, i);
        assert_int_equal(part[0], 'C');
        assert_ptr_equal(strstr(place, part), place);
        assert_non_null(strchr(place, ','));
    }
    assert_null(trouble_place(s, -1));
    arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_step_becomes_too_small),
        cmocka_unit_test(the_equations_become_singular),
        cmocka_unit_test(the_equations_have_no_solution),
        cmocka_unit_test(a_mode_is_of_a_part),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
