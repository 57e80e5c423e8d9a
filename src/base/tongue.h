/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TONGUE_H
#define PRESOLDER_TONGUE_H

#include <stdbool.h>

/* The words of the trade in the US or in the UK. A sentence that differs stands in both, whole, and
 * one of them is said. Names, keys and whatever a user types are the same in either. */

/* Those of the UK from now on, or of the US, as before the first call. Called once a scenario is
 * read: before it is set up, before the first word is written, before there are threads. */
void tongue_set(bool uk);
bool tongue_uk(void);

/* A sentence in both. Two literals, so that the compiler checks both where they are formats: the
 * same conversions in the same order. */
#define US_UK(us, uk) (tongue_uk() ? (uk) : (us))

/* The same as a row of a table, and one that is the same in either. */
struct tongue {
    const char *us, *uk; /* uk NULL: the same */
};
/* clang-format off */
#define US_UK_ROW(us, uk) {us, uk}
#define EITHER(text) {text, NULL}
/* clang-format on */

const char *tongue_says(struct tongue text);

#endif
