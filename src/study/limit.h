/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_LIMIT_H
#define PRESOLDER_LIMIT_H

#include "trial.h"

/* How large the first capacitor may be before a rectifier is over its ratings. */

/* The rectifier at whose cathode the capacitor `path` (`C1.value`) hangs in the setup, when that is
 * a capacitor's value; NULL: none. */
const char *limit_rectifier(const struct setup *setup, const char *path);

struct limit {
    double farads; /* the most that stays inside, rounded down to two digits [F]; by currents and
                    * volts alone, whatever the sheet says of capacitors */
    bool none, beyond;         /* already the least looked at is over; still inside at the most */
    enum measure measure;      /* what stands nearest to its limit there */
    double share;              /* of it, in the run that proves it */
    const struct trial *proof; /* with `farads`, NULL when `none` */
    enum status status;
    /* What the data sheet says in place of peaks, NaN where it says nothing: the first capacitor
     * it allows, less what else stands there [F]; copper and resistors before each plate that it
     * asks for and that are there [ohm]. */
    double sheet, least_ohms, ohms;
    double others;              /* what else stands there [F] */
    enum measure sheet_measure; /* nearest to its limit with `sheet` */
    double sheet_share;
    const struct trial *sheet_proof; /* with `sheet` when that is less */
};

/* By root search over hot runs, on the highest share of the rectifier's own ratings (running peak,
 * hot restart at crest and zero, mean current, inverse volts), between LIMIT_LEAST and LIMIT_MOST.
 * `ohms` [ohm] is put in series with each plate; 0: nothing. The data sheet's stand-ins for peaks
 * are told beside. Proofs are labelled like a trial. Everything lives in `arena`. */
#define LIMIT_EASING 100.0 /* in each plate's lead, for comparison; common practice, no source */
#define LIMIT_LEAST 0.1e-6 /* [F] */
#define LIMIT_MOST 1000e-6 /* [F] */
struct limit limit_capacitor(struct arena *arena, const struct scenario *s, const char *variant,
                             const char *path, const char *rectifier, double ohms,
                             const struct trial_options *options);

/* The set with `ohms` [ohm] in series with each plate of a rectifier; NULL: it cannot be set up. */
const struct trial *limit_eased(struct arena *arena, const struct scenario *s, const char *variant,
                                const char *rectifier, double ohms,
                                const struct trial_options *options);

#endif
