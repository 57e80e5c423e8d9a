/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_STOCK_H
#define PRESOLDER_STOCK_H

#include "buy_list.h"

/* What of a list to buy lies in the drawer. The drawer is a CSV file whose first line names its
 * columns: `kind` (electrolytic, film, resistor, diode, tube, slow fuse), `value` (10 uF, 33 ohm, 1
 * A; of diodes and tubes the type), `rating` (450 V, 2 W; may be empty) and `pieces` (1 without);
 * others are the owner's. Separator , ; or tab. */

#define STOCK_SAME_OHMS 0.05 /* E24 has a tolerance of 5 % (IEC 60063) */

enum stock_kind {
    STOCK_ELECTROLYTIC,
    STOCK_FILM,
    STOCK_RESISTOR,
    STOCK_DIODE,
    STOCK_TUBE,
    STOCK_SLOW_FUSE,
    STOCK_KINDS
};

/* As written in the file. */
extern const char *const stock_kinds[STOCK_KINDS];

struct stock_row {
    enum stock_kind kind;
    const char *type; /* of diodes and tubes; else NULL */
    double value;     /* [F], [ohm], [A]; of diodes and tubes NaN */
    double rating;    /* [V], [W]; NaN: not told */
    int pieces;       /* not yet taken */
    int line;         /* in the file */
};

/* One thing to order. */
struct stock_item {
    const char *part; /* as in the scenario */
    enum stock_kind kind;
    const char *type;     /* of diodes and tubes; else NULL */
    double value, rating; /* to buy; NaN: none */
    double least, most;   /* values that will do */
    int pieces;           /* needed */
    bool keep;            /* what is fitted may stay */
    int taken, line;      /* from the drawer, and the line of the first; 0: none */
    int order;            /* pieces left to order */
};

struct stock {
    const char *path; /* without folders */
    ARRAY(struct stock_row) rows;
    ARRAY(struct stock_item) items;
};

/* Reads a drawer. NULL with errors, each with its line, column and hint. */
struct stock *stock_read(struct arena *arena, struct diags *diags, const char *path);

/* Fills `items` by the list, in its order, and takes from the drawer what will do: capacitors from
 * what is drawn up to what is to be bought, of at least the rating; resistors within 5 %, of at
 * least the watts; the same type. A pair in series stands in where the drawer has it and not the
 * single part; its equalising resistors come with it. */
void stock_take(struct arena *arena, struct stock *stock, const struct buy_list *list);

#endif
