/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "eliminate.h"

#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "numbers.h"

enum { LANES = 4 };

/* Where the largest entry of a row stands, the first of equal ones; -1: it is all zero. Its size is
 * found first, in lanes that need not wait for each other: most of an elimination goes here. */
static int largest_in(int columns, const double *row)
{
    double lane[LANES] = {0}, most = 0;
    int j = 0;
    for (; j + LANES <= columns; j += LANES)
        for (int k = 0; k < LANES; k++) lane[k] = larger(lane[k], fabs(row[j + k]));
    for (int k = 0; k < LANES; k++) most = larger(most, lane[k]);
    for (; j < columns; j++) most = larger(most, fabs(row[j]));
    for (j = 0; most > 0 && j < columns; j++)
        if (fabs(row[j]) == most) return j;
    return -1;
}

/* The same of a row whose entries changed where the pivot's are not zero; `best`: before that. Where it
 * is untouched only those that changed are looked at. */
static int best_of_changed(int columns, const double *row, const double *pivot, int n,
                           const int *nonzero, int best)
{
    if (best < 0 || pivot[best] != 0) return largest_in(columns, row);
    for (int k = 0; k < n && nonzero[k] < columns; k++) {
        const int j = nonzero[k];
        const double size = fabs(row[j]), most = fabs(row[best]);
        if (size > most || (size == most && j < best)) best = j;
    }
    return best;
}

/* The row, not used yet, with the largest entry; -1: none. */
static int find_row(int rows, int wide, const double *a, const bool *used, const int *best)
{
    int found = -1;
    double most = 0;
    for (int i = 0; i < rows; i++) {
        if (used[i] || best[i] < 0) continue;
        double size = fabs(a[(size_t)i * (size_t)wide + (size_t)best[i]]);
        if (size > most) {
            most = size;
            found = i;
        }
    }
    return found;
}

/* Entries of a row that are not zero, from `nonzero` on. */
static int gather(int wide, const double *row, int *nonzero)
{
    int n = 0;
    for (int j = 0; j < wide; j++)
        if (row[j] != 0) nonzero[n++] = j;
    return n;
}

struct eliminated eliminate(struct arena *arena, int rows, int columns, int wide, double *a,
                            double least, const struct network_asked *asked)
{
    struct eliminated e = {.row = ARENA_ARRAY(arena, int, rows),
                           .column = ARENA_ARRAY(arena, int, rows),
                           .spares = ARENA_ARRAY(arena, int, rows)};
    bool *used = ARENA_ARRAY(arena, bool, rows);
    int *best = ARENA_ARRAY(arena, int, rows), *nonzero = ARENA_ARRAY(arena, int, wide);
    for (int i = 0; i < rows; i++) best[i] = largest_in(columns, a + (size_t)i * (size_t)wide);
    while (e.rank < rows && e.rank < columns) {
        const int p = find_row(rows, wide, a, used, best);
        if (p < 0) break;
        const double *pivot = a + (size_t)p * (size_t)wide, size = fabs(pivot[best[p]]);
        if (e.rank && !(size > least * e.most)) break;
        const int c = best[p], n = gather(wide, pivot, nonzero);
        e.most = larger(e.most, size);
        e.least = size;
        used[p] = true;
        e.row[e.rank] = p;
        e.column[e.rank++] = c;
        double work = 0;
        for (int i = 0; i < rows; i++) {
            double *row = a + (size_t)i * (size_t)wide;
            if (used[i] || row[c] == 0) continue;
            const double f = row[c] / pivot[c];
            for (int k = 0; k < n; k++) row[nonzero[k]] -= f * pivot[nonzero[k]];
            work += n;
            row[c] = 0;
            best[i] = best_of_changed(columns, row, pivot, n, nonzero, best[i]);
        }
        e.left_off = network_wants_end(asked, work);
        if (e.left_off) return e;
    }
    for (int i = 0; i < rows; i++)
        if (!used[i]) e.spares[e.spare++] = i;
    return e;
}

void eliminate_solve(const struct eliminated *e, int columns, int wide, const double *a, double *x)
{
    const int many = wide - columns;
    for (int k = e->rank - 1; k >= 0; k--) {
        const double *row = a + (size_t)e->row[k] * (size_t)wide, by = 1 / row[e->column[k]];
        double *to = x + (size_t)e->column[k] * (size_t)many;
        memcpy(to, row + columns, (size_t)many * sizeof *to);
        for (int l = k + 1; l < e->rank; l++) {
            const double f = row[e->column[l]], *from = x + (size_t)e->column[l] * (size_t)many;
            for (int j = 0; f != 0 && j < many; j++) to[j] -= f * from[j];
        }
        for (int j = 0; j < many; j++) to[j] *= by;
    }
}
