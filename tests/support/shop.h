/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SHOP_H
#define PRESOLDER_SHOP_H

#include "run.h"

/* Scenarios written in a test, run with the program's own catalogue. */

/* Set-up and tear-down of a group of tests: arena and catalogue. */
int shop_open(void **state);
int shop_close(void **state);

struct arena *shop_arena(void);
const struct catalogue *shop_catalogue(void);

/* A scenario, or its setup; the test fails when it has mistakes. */
const struct scenario *shop_scenario(const char *text);
const struct setup *shop_setup(const char *text, const char *variant);

/* The test fails unless the scenario is refused with a complaint that holds `message`. */
void shop_refused(const char *text, const char *message);

/* Runs a scenario that closes at the crest. The test fails when the run or its audit does.
 * `observe` (may be NULL) is called every `every` seconds. */
const struct result *shop_run(const char *text, double every, run_observer *observe, void *context);

/* A figure; the test fails when there is none. */
double shop_figure(const struct result *r, const char *subject, enum measure measure);

/* The state of that part and role among the states y; NaN: there is none now. */
double shop_state(const struct equations *eq, const double *y, const char *part, const char *role);

/* A scenario: a choke between two dry electrolytics, nothing measured. */
extern const char shop_choke_set[];

#endif
