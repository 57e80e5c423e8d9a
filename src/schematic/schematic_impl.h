/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_SCHEMATIC_IMPL_H
#define PRESOLDER_SCHEMATIC_IMPL_H

#include "schematic.h"

/* Inside the layer only. From parts to a drawing:
 *   schematic_graph.c   points and the ways between them
 *   schematic_order.c   rows and the order from left to right (items, trunks)
 *   schematic_skeleton.c  ... of what a current from the mains passes in turn
 *   schematic_insert.c  ... of all the rest, where it crosses least
 *   schematic_piece.c   symbols, wires and letters of an item
 *   schematic_coil.c    ... of a transformer
 *   schematic_space.c   millimetres
 *   schematic_fold.c    strips
 *
 * A point lies on one or more trunks (level wires); each trunk is in a row. Items stand in one
 * order from left to right; what a trunk covers is from its first to its last item. Items that do
 * not touch may share a place: that is decided in millimetres. */

enum { WAYS_PARALLEL = 8, LINES = 6 };

struct net {
    const char *name;
    bool inner;
    int trunk;               /* the first; -1: not placed yet */
    ARRAY(int) ways;         /* those that end here */
    ARRAY(int) duos;         /* whose plate it is */
    ARRAY(int) transformers; /* whose primary ends here */
    double weight;           /* scratch */
    int mark;                /* scratch */
};

/* A part, or section of one, with two ends. */
struct way {
    const struct part *part; /* NULL: the mains */
    const char *title;
    enum schematic_shape shape;
    int net[2];
    bool done;
};

/* A tube with two plates and a common cathode. */
struct duo {
    const struct part *part;
    int plate[2], cathode;
    bool done;
};

struct winding_of {
    struct part_way way;
    int net[3];
    int nets;    /* 0: not named */
    char letter; /* of the heaters it feeds; 0: none */
    int row;     /* scratch */
};

struct transformer_of {
    const struct part *part;
    int net[2];
    ARRAY(struct winding_of) windings;
    bool slides; /* one winding with a sliding tap: the output's first end */
    bool done;
};

struct trunk {
    int net, row;
    double low, high; /* order of what is first and last on it; low > high: nothing */
};

enum item_form { ITEM_DOWN, ITEM_ACROSS, ITEM_DUO, ITEM_TRANSFORMER, ITEM_RISER, ITEM_CALL };

struct term {
    int trunk;
    double side; /* -1 left, 0 middle, 1 right of the item */
    double dx;   /* from the item's x [mm] */
};

struct box {
    double x1, y1, x2, y2; /* x from the item's x */
    int trunk;             /* of a terminal; -1: not one */
};

struct item {
    enum item_form form;
    int row; /* of what lies in a row */
    int ways[WAYS_PARALLEL];
    int n;
    int other; /* number of the duo, transformer or net */
    ARRAY(struct term) terms;
    int place; /* in the order */
    double x;
    /* What it shows, x from the item's x. */
    ARRAY(struct schematic_symbol) symbols;
    ARRAY(struct schematic_wire) wires;
    ARRAY(struct schematic_label) labels;
    ARRAY(struct box) boxes; /* what keeps others off */
};

struct lines {
    const char *text[LINES];
    enum schematic_style style[LINES];
    int n;
    double width;
};

struct space {
    struct arena *arena;
    const struct setup *setup;
    const struct set *set;
    const struct part *const *over;
    int overs;
    ARRAY(struct net) nets;
    ARRAY(struct way) ways;
    ARRAY(struct duo) duos;
    ARRAY(struct transformer_of) transformers;
    int reference, hot, cold; /* nets; -1: none */
    int source;               /* way of the mains; -1: none */

    ARRAY(struct trunk) trunks;
    ARRAY(struct item) items;
    ARRAY(int) order;  /* items from left to right */
    ARRAY(int) rows;   /* rows from top to bottom */
    ARRAY(int) row_at; /* place of each row */
    int top, bottom;   /* rows */
    double *y;         /* of each row [mm], by place */
    struct schematic *out;
};

/* ---- schematic_graph.c ---- */
void schematic_graph(struct space *s);
struct lines schematic_graph_lines(const struct space *s, const struct part *part,
                                   const char *title);
struct lines schematic_graph_winding_lines(const struct space *s, const struct winding_of *w);
struct lines schematic_graph_mains_lines(const struct space *s);
/* Letters of the windings that heat a part: at most `most`, returns how many. */
int schematic_graph_letters(const struct space *s, const struct part *part, char *letters,
                            int most);
int schematic_graph_other(const struct way *w, int net);

/* ---- schematic_order.c ---- */
/* A new row below (or above) a row; a new trunk of a net in a row. */
int schematic_order_row(struct space *s, int row, bool below);
int schematic_order_trunk(struct space *s, int net, int row);
/* A new item at a place of the order (-1: the end), with its terminals; then the trunks know. */
int schematic_order_item(struct space *s, struct item item, int place);
void schematic_order_term(struct space *s, struct item *item, int trunk, double side);
/* Both ends of an upright item; the upper row first whatever comes first. */
int schematic_order_down(struct space *s, int way, int a, int b, int place);
int schematic_order_across(struct space *s, const int *ways, int n, int a, int b, int row,
                           int place);
int schematic_order_riser(struct space *s, int a, int b, int place);
/* The trunk would reach over place `at`: true when nothing else of its row is in the way. */
bool schematic_order_free(const struct space *s, int trunk, double at);
/* True when nothing in the row is at or after the place. */
bool schematic_order_row_free(const struct space *s, int row, double from);
/* Crossings of an upright at `at` between two rows. */
int schematic_order_crossed(const struct space *s, int row1, int row2, double at);
int schematic_order_crossings(const struct space *s);
static inline int schematic_order_level(const struct space *s, int trunk)
{
    return s->row_at.at[s->trunks.at[trunk].row];
}

/* ---- schematic_skeleton.c, schematic_insert.c, schematic_space.c ---- */
void schematic_skeleton(struct space *s);
void schematic_insert(struct space *s);
/* Joins a further trunk of a net to its first one, where both are drawn. */
void schematic_insert_join(struct space *s, int trunk);
/* The place nearest to `wish` at which an upright may leave the trunk, going by `step`. */
int schematic_insert_leave(const struct space *s, int trunk, int wish, int step);
void schematic_insert_calls(struct space *s);
/* Drawings wider than `width` [mm] get cuts (0: none). */
void schematic_space(struct space *s, double width);

/* ---- schematic_piece.c ---- */
struct extent {
    double above, below, across; /* that an item needs over and under its row, or between two */
};
struct extent schematic_piece_extent(const struct space *s, const struct item *item);
/* Fills in what the item shows, once the rows lie; `low`, `high`: y between which the symbol of an
 * upright may lie. */
void schematic_piece_fill(struct space *s, struct item *item, double low, double high);
void schematic_piece_symbol(struct space *s, struct item *item, struct schematic_symbol symbol,
                            double half_width);
void schematic_piece_lines(struct space *s, struct item *item, const struct lines *lines,
                           const struct part *part, double x, double bottom, bool centred);
void schematic_piece_label(struct space *s, struct item *item, struct schematic_label label);
void schematic_piece_wire(struct space *s, struct item *item, double x1, double y1, double x2,
                          double y2, int trunk);
static inline double schematic_piece_y(const struct space *s, int trunk)
{
    return s->y[schematic_order_level(s, trunk)];
}

/* ---- schematic_coil.c ---- */
/* Asks `need` for room between two rows for the windings. */
void schematic_coil_rows(const struct space *s, const struct item *item, void *context,
                         void (*need)(void *context, int low, int high, double room));
void schematic_coil_fill(struct space *s, struct item *item);

/* ---- schematic_fold.c ---- */
void schematic_fold(struct arena *arena, struct schematic *drawing);

#endif
