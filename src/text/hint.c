/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Edit distance by rows: insert, delete, replace, or exchange neighbours, each one edit, no letter
 * touched twice. Both words are folded first (lower case, no blanks, hyphens or underscores), so
 * `power-transformer` is at distance 0. */
#include "hint.h"

#include <stdbool.h>
#include <stddef.h>
#include <string.h>

enum { WORD_MAX = 48 }; /* folded letters; no name this program knows is longer */

struct folded {
    char at[WORD_MAX + 1];
    int n;
};

/* A word up to `end`; false when it is longer than any we know. */
static bool fold(const char *word, const char *end, struct folded *f)
{
    f->n = 0;
    for (const char *s = word; s < end; s++) {
        if (strchr(" -_\t", *s)) continue;
        if (f->n == WORD_MAX) return false;
        f->at[f->n++] = *s >= 'A' && *s <= 'Z' ? (char)(*s - 'A' + 'a') : *s;
    }
    return true;
}

static int least(int a, int b, int c)
{
    int ab = a < b ? a : b;
    return ab < c ? ab : c;
}

static int distance(const struct folded *a, const struct folded *b)
{
    int rows[3][WORD_MAX + 1]; /* the row being filled and the two before it, in turn */
    for (int j = 0; j <= b->n; j++) rows[0][j] = j;
    for (int i = 1; i <= a->n; i++) {
        int *now = rows[i % 3], *last = rows[(i + 2) % 3], *before = rows[(i + 1) % 3];
        now[0] = i;
        for (int j = 1; j <= b->n; j++) {
            int replace = last[j - 1] + (a->at[i - 1] != b->at[j - 1]);
            now[j] = least(replace, last[j] + 1, now[j - 1] + 1);
            if (i > 1 && j > 1 && a->at[i - 1] == b->at[j - 2] && a->at[i - 2] == b->at[j - 1])
                now[j] = least(now[j], before[j - 2] + 1, now[j]);
        }
    }
    return rows[a->n % 3][b->n];
}

/* Whether it is all that stands before a hyphen: 6V6 of 6V6-GT. */
static bool goes_on(const char *known, const struct folded *wanted)
{
    const char *hyphen = strchr(known, '-');
    struct folded head;
    return hyphen && fold(known, hyphen, &head) && head.n == wanted->n &&
           memcmp(head.at, wanted->at, (size_t)head.n) == 0;
}

static int edits_allowed(int length)
{
    int third = length / 3;
    return third < 1 ? 1 : third > 3 ? 3 : third;
}

const char *hint_nearest(const char *word, const char *const words[], int n)
{
    struct folded wanted, known;
    if (!fold(word, word + strlen(word), &wanted) || wanted.n == 0) return NULL;
    int best = edits_allowed(wanted.n) + 1;
    if (best > wanted.n) best = wanted.n; /* at least one letter is kept */
    const char *nearest = NULL;
    for (int i = 0; i < n; i++) {
        if (!words[i] || !fold(words[i], words[i] + strlen(words[i]), &known)) continue;
        int d = goes_on(words[i], &wanted) ? 0 : distance(&wanted, &known);
        if (d < best) best = d, nearest = words[i];
    }
    return nearest;
}
