/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A long drawing becomes strips one below the other. */
#include <assert.h>
#include <math.h>

#include "schematic_impl.h"

#define BELOW 5.0 /* between strips */

struct strip {
    double from, to; /* x before folding */
    double dx, dy;
    double top, bottom;
};

struct fold {
    struct arena *arena;
    struct schematic *d;
    ARRAY(struct strip) strips;
};

static void cut_all(struct fold *f)
{
    double from = 0;
    for (int i = 0; i <= f->d->cuts.n; i++) {
        double to = i < f->d->cuts.n ? f->d->cuts.at[i] : f->d->width;
        array_push(f->arena, &f->strips, (struct strip){.from = from, .to = to});
        from = to;
    }
}

static const struct strip *strip_at(const struct fold *f, double x)
{
    int i = 0;
    while (i + 1 < f->strips.n && x >= f->strips.at[i].to) i++;
    return &f->strips.at[i];
}

/* ---- how high each is ---- */

static void reach(struct fold *f, double x, double low, double high)
{
    struct strip *s = &f->strips.at[strip_at(f, x) - f->strips.at];
    s->top = fmin(s->top, low);
    s->bottom = fmax(s->bottom, high);
}

static void measure(struct fold *f)
{
    const struct schematic *d = f->d;
    for (int i = 0; i < f->strips.n; i++) {
        f->strips.at[i].top = HUGE_VAL;
        f->strips.at[i].bottom = -HUGE_VAL;
    }
    for (int i = 0; i < d->wires.n; i++) {
        const struct schematic_wire *w = &d->wires.at[i];
        for (int k = 0; k < f->strips.n; k++) {
            const struct strip *s = &f->strips.at[k];
            if (fmin(w->x1, w->x2) < s->to && fmax(w->x1, w->x2) >= s->from)
                reach(f, fmax(s->from, fmin(w->x1, w->x2)), fmin(w->y1, w->y2) - 2,
                      fmax(w->y1, w->y2) + 2);
        }
    }
    for (int i = 0; i < d->symbols.n; i++) {
        const struct schematic_symbol *s = &d->symbols.at[i];
        double half = fmax(s->length / 2, s->shape == SHAPE_TWO_PLATES ? 10 : 5);
        reach(f, s->x, s->y - half, s->y + half);
    }
    for (int i = 0; i < d->labels.n; i++)
        reach(f, d->labels.at[i].x, d->labels.at[i].y - SCHEMATIC_LINE, d->labels.at[i].y + 1.5);
    for (int i = 0; i < d->calls.n; i++)
        reach(f, d->calls.at[i].x, d->calls.at[i].y - SCHEMATIC_CALL - 0.5, d->calls.at[i].tip);
}

static void stack(struct fold *f)
{
    double y = 2, width = 0;
    for (int i = 0; i < f->strips.n; i++) {
        struct strip *s = &f->strips.at[i];
        s->dx = -s->from + (i > 0 ? SCHEMATIC_SIDE : 0);
        s->dy = y - s->top;
        y += s->bottom - s->top + BELOW;
        width = fmax(width, s->to + s->dx + (i + 1 < f->strips.n ? SCHEMATIC_SIDE : 0));
    }
    f->d->width = width;
    f->d->height = y - BELOW + 2;
    f->d->strips = f->strips.n;
}

/* ---- moving ---- */

static void add_end(struct fold *f, double x, double y, int net, bool right)
{
    assert(net >= 0);
    for (int i = 0; i < f->d->ends.n; i++)
        if (f->d->ends.at[i].x == x && f->d->ends.at[i].y == y) return;
    array_push(f->arena, &f->d->ends, (struct schematic_end){x, y, net, right});
}

/* A level wire over a cut goes on in the next strip. */
static void fold_wires(struct fold *f)
{
    int n = f->d->wires.n;
    const double tail = 3;
    for (int i = 0; i < n; i++) {
        struct schematic_wire w = f->d->wires.at[i];
        double left = fmin(w.x1, w.x2), right = fmax(w.x1, w.x2);
        const struct strip *a = strip_at(f, left), *b = strip_at(f, right);
        bool level = w.y1 == w.y2;
        for (const struct strip *s = a; s <= b; s++) {
            double x1 = s == a ? left : s->from - tail, x2 = s == b ? right : s->to + tail;
            struct schematic_wire part = {level ? x1 + s->dx : w.x1 + s->dx, w.y1 + s->dy,
                                          level ? x2 + s->dx : w.x2 + s->dx, w.y2 + s->dy, w.net};
            if (s > a) add_end(f, part.x1, part.y1, w.net, false);
            if (s < b) add_end(f, part.x2, part.y1, w.net, true);
            if (s == a) f->d->wires.at[i] = part;
            else array_push(f->arena, &f->d->wires, part);
        }
    }
}

static void fold_rest(struct fold *f)
{
    struct schematic *d = f->d;
    for (int i = 0; i < d->symbols.n; i++) {
        const struct strip *s = strip_at(f, d->symbols.at[i].x);
        d->symbols.at[i].x += s->dx;
        d->symbols.at[i].y += s->dy;
    }
    for (int i = 0; i < d->dots.n; i++) {
        const struct strip *s = strip_at(f, d->dots.at[i].x);
        d->dots.at[i].x += s->dx;
        d->dots.at[i].y += s->dy;
    }
    for (int i = 0; i < d->labels.n; i++) {
        const struct strip *s = strip_at(f, d->labels.at[i].x);
        d->labels.at[i].x += s->dx;
        d->labels.at[i].y += s->dy;
    }
    for (int i = 0; i < d->calls.n; i++) {
        const struct strip *s = strip_at(f, d->calls.at[i].x);
        d->calls.at[i].x += s->dx;
        d->calls.at[i].y += s->dy;
        d->calls.at[i].tip += s->dy;
    }
}

void schematic_fold(struct arena *arena, struct schematic *drawing)
{
    struct fold f = {.arena = arena, .d = drawing};
    drawing->strips = 1;
    if (drawing->cuts.n == 0) return;
    cut_all(&f);
    measure(&f);
    stack(&f);
    fold_wires(&f);
    fold_rest(&f);
}
