/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_PROGRESS_H
#define PRESOLDER_WORDS_PROGRESS_H

/* How far the work is, and what became of the pictures. */

/* done, all, what, minutes, seconds */
static const char words_progress_counter[] = "\r%d of %d %s, about %ld:%02ld left ";
static const char words_progress_limit[] = "\rhow large the capacitor may be: more runs ...  ";
/* folder, kind */
static const char words_progress_pictures[] = "Pictures: %s/plots/*.%s\n";
/* folder, script */
static const char words_progress_not_drawn[] =
    "note: an interrupted run is not drawn. In the folder %s/plots:\n"
    "  gnuplot %s.gp\n"
    "and so for every script there.\n";
/* picture, folder, script */
static const char words_progress_gnuplot_failed[] =
    "note: gnuplot did not draw %s; to see why: cd '%s/plots', then gnuplot %s\n";
/* folder, script */
static const char words_progress_no_gnuplot[] =
    "note: no pictures, since gnuplot is not installed. To get them:\n"
    "  apt install gnuplot-nox\n"
    "then in the folder %s/plots:\n"
    "  gnuplot %s.gp\n"
    "and so for every script there.\n";

/* how many runs, seconds; how many jobs, per cent */
static const char words_progress_busy[] = "%d run%s in %.1f s, %d job%s busy %.0f %%.\n";
static const char words_progress_busy_many[] = "s";

/* bar, per cent, minutes, seconds */
static const char words_progress_bar[] = "\r[%s] %3ld %%, about %ld:%02ld left ";

/* where it is [s], step [us], what asks for it, steps, switchings */
static const char words_progress_slow[] =
    "note: this run is slow. At %.4g s it steps by %.3g us because of %s;\n"
    "so far %ld steps and %ld switchings in this cycle of the mains.\n";
static const char words_progress_volts[] = "a voltage that changes fast";

#endif
