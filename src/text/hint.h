/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_HINT_H
#define PRESOLDER_HINT_H

/* The word of `words` (n of them, NULL entries skipped) nearest to `word` by edit distance with
 * neighbouring letters exchanged counted as one (Damerau, Comm. ACM 7, 1964, p. 171), ignoring
 * case, blanks, hyphens and underscores; NULL when none is within a third of the word's length (at
 * least 1, at most 3 edits, and one letter kept). One that is `word`, a hyphen and more is as good as
 * the word itself: 6V6-GT for 6V6. The first of equals. */
const char *hint_nearest(const char *word, const char *const words[], int n);

#endif
