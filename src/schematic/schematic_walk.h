/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SCHEMATIC_WALK_H
#define PRESOLDER_SCHEMATIC_WALK_H

#include "schematic_impl.h"

/* What the skeleton's files share. */

enum { CHAIN = 8, STRING = 24 };

struct string {
    int net[STRING + 1]; /* from its start to its end */
    int n;
};

struct walk {
    struct space *s;
    int chain[CHAIN]; /* nets of the bottom row from left to right */
    int links, at;    /* so many of them; the one that the bottom row has come to */
    int row;          /* of the chain */
    ARRAY(struct string) strings;
};

static inline bool schematic_walk_placed(const struct walk *w, int net)
{
    return w->s->nets.at[net].trunk >= 0;
}

static inline int schematic_walk_trunk(const struct walk *w, int net)
{
    return w->s->nets.at[net].trunk;
}

static inline int schematic_walk_row(const struct walk *w, int net)
{
    return w->s->trunks.at[schematic_walk_trunk(w, net)].row;
}

static inline bool schematic_walk_rectifies(const struct way *way)
{
    return way->shape == SHAPE_DIODE || way->shape == SHAPE_TUBE;
}

/* ---- schematic_bottom.c ---- */

/* Marks all nets joined to one, transformers not counted. */
void schematic_bottom_flood(struct space *s, int net, int mark);
/* The chain of the bottom row: the way through resistors and coils from the nearest return to the
 * ground net. */
void schematic_bottom_find(struct walk *w, int ground);
/* Number of a net in the chain; -1: it is not in it. */
int schematic_bottom_link(const struct walk *w, int net);
/* Draws the chain on to that link; gives a link its wire in the bottom row. */
void schematic_bottom_advance(struct walk *w, int link);
void schematic_bottom_trunk(struct walk *w, int link);
/* Joined ways of two nets that are not drawn yet. */
int schematic_bottom_parallel(const struct space *s, int a, int b, int *ways);

/* ---- schematic_string.c ---- */

/* A string from `net` over `next` that ends on a net that is placed, or at the bottom. */
bool schematic_string_find(struct walk *w, int net, int next, struct string *string);
void schematic_string_keep(struct walk *w, const struct string *string);
void schematic_string_draw(struct walk *w, const struct string *string);

#endif
