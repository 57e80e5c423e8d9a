/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_PLOT_H
#define PRESOLDER_PLOT_H

#include "diag.h"
#include "turn_on.h"
#include "writer.h"

/* Pictures of a turn-on as gnuplot scripts, made from the templates in `plots/`. The scripts stand
 * in the folder `plots` beside trace.csv and heat.csv, which they read from there, and write their
 * pictures beside themselves. */

struct plot_options {
    const char *templates; /* folder of the templates */
    const char *format;    /* "svg" or "png" */
    bool black_and_white;  /* told apart by dashes and greys */
};

/* All scripts there can be; each is one file NAME.gp and one picture. */
enum { PLOTS = 5 };
extern const char *const plot_names[PLOTS];

/* Which were written; a picture without a curve is left out. */
struct plots {
    bool written[PLOTS];
    const char *format;
};

/* Writes the scripts of the run's trace; without a trace of two rows at least, none. `csv`: what
 * trace.csv holds of it, as trace_csv_write returned it; `restart_csv` likewise of the hot restart,
 * NULL: none. Old scripts and pictures of the same names
 * go when the writer commits. Errors of the templates are in `diags`. */
struct plots plot_write(struct writer *w, struct diags *diags, struct arena *arena,
                        const struct turn_on *t, const struct trace *csv,
                        const struct trace *restart_csv, const struct plot_options *options);

/* Has `gnuplot` (a path) draw all pictures among the partial files of the writer and adds them to
 * its files. Returns the name of the first script that failed; NULL: none. */
const char *plot_draw(struct writer *w, struct arena *arena, const struct plots *plots,
                      const char *gnuplot);

/* The same for n scripts NAME.gp of the folder plots, until stop() is true (NULL: never). */
const char *plot_draw_scripts(struct writer *w, struct arena *arena, const char *const *names,
                              int n, const char *format, const char *gnuplot, bool (*stop)(void));

#endif
