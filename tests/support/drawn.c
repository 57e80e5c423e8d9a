/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "drawn.h"

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>

#define NEAR 1e-3 /* [mm] */

static struct arena *arena;
static const char *what; /* is looked at */

#define CHECK(condition, ...)                                                                      \
    do {                                                                                           \
        if (!(condition)) {                                                                        \
            print_error("%s: ", what);                                                             \
            print_error(__VA_ARGS__);                                                              \
            print_error("\n");                                                                     \
            fail();                                                                                \
        }                                                                                          \
    } while (0)

/* ---- what touches ---- */

static bool on_wire(const struct schematic_wire *w, double x, double y)
{
    return x >= fmin(w->x1, w->x2) - NEAR && x <= fmax(w->x1, w->x2) + NEAR &&
           y >= fmin(w->y1, w->y2) - NEAR && y <= fmax(w->y1, w->y2) + NEAR;
}

static int root(int *leads, int i)
{
    while (leads[i] != i) i = leads[i] = leads[leads[i]];
    return i;
}

/* Wires are joined where one ends on another; where they only cross they are not. */
static int *join_wires(const struct schematic *d)
{
    int *leads = ARENA_ARRAY(arena, int, d->wires.n);
    for (int i = 0; i < d->wires.n; i++) leads[i] = i;
    for (int i = 0; i < d->wires.n; i++)
        for (int k = 0; k < d->wires.n; k++) {
            const struct schematic_wire *a = &d->wires.at[i], *b = &d->wires.at[k];
            if (on_wire(b, a->x1, a->y1) || on_wire(b, a->x2, a->y2))
                leads[root(leads, i)] = root(leads, k);
        }
    for (int i = 0; i < d->wires.n; i++) leads[i] = root(leads, i);
    return leads;
}

static int wire_at(const struct schematic *d, const int *leads, double x, double y)
{
    for (int i = 0; i < d->wires.n; i++)
        if (on_wire(&d->wires.at[i], x, y)) return leads[i];
    return -1;
}

/* Each name belongs to one joined piece, and each piece to one name. */
struct names {
    const char *name[512];
    int piece[512];
    int n;
};

static void same(struct names *names, const char *name, int piece, const char *part)
{
    CHECK(piece >= 0, "%s: no wire where it ends on %s", part, name);
    for (int i = 0; i < names->n; i++) {
        bool one = strcmp(names->name[i], name) == 0, two = names->piece[i] == piece;
        CHECK(one == two, "%s: its wire of %s is that of %s%s", part, name, names->name[i],
              one ? ", in two pieces" : "");
        if (one) return;
    }
    assert_true(names->n < 512);
    names->name[names->n] = name;
    names->piece[names->n++] = piece;
}

/* ---- symbols ---- */

/* Unit steps along the axis for each turn. */
static const int step_x[] = {0, 1, 0, -1}, step_y[] = {1, 0, -1, 0};

/* The last point in series with the plug is the plug's own line; the house joins earth to
 * neutral. */
static const char *point_name(const struct setup *setup, const char *name)
{
    const struct stage *stage = &setup->stages.at[0];
    const struct circuit *c = stage->circuit;
    if (strcmp(name, "earth") == 0) return stage->set->line[1];
    if (stage->mains_switch >= 0) {
        const struct element *e = &c->elements.at[stage->mains_switch];
        if (strcmp(c->points.at[e->from], name) == 0) return c->points.at[e->to];
    }
    return name;
}

static void check_ends(const struct setup *setup, const struct schematic *d, const int *leads,
                       struct names *names, const struct schematic_symbol *s, int way)
{
    const struct set *set = setup->stages.at[0].set;
    struct part_way w;
    assert_true(part_way(set, s->part, way, &w));
    double half = s->length / 2;
    int dx = step_x[s->turn], dy = step_y[s->turn];
    same(names, point_name(setup, w.point[0]),
         wire_at(d, leads, s->x - dx * half, s->y - dy * half), s->part->name);
    same(names, point_name(setup, w.point[w.points - 1]),
         wire_at(d, leads, s->x + dx * half, s->y + dy * half), s->part->name);
}

static void check_two_plates(const struct setup *setup, const struct schematic *d, const int *leads,
                             struct names *names, const struct schematic_symbol *s)
{
    struct part_way a, b;
    const struct set *set = setup->stages.at[0].set;
    part_way(set, s->part, 0, &a);
    part_way(set, s->part, 1, &b);
    int upper = wire_at(d, leads, s->x - 8, s->y - 4.5),
        lower = wire_at(d, leads, s->x - 8, s->y + 4.5);
    bool swapped = false;
    for (int i = 0; i < names->n; i++)
        swapped |= names->piece[i] == upper && strcmp(names->name[i], b.point[0]) == 0;
    same(names, swapped ? b.point[0] : a.point[0], upper, s->part->name);
    same(names, swapped ? a.point[0] : b.point[0], lower, s->part->name);
    same(names, a.point[1], wire_at(d, leads, s->x + 8, s->y - 4.5), s->part->name);
}

/* A winding may stand either way up. */
static void check_winding(const struct schematic *d, const int *leads, struct names *names,
                          const struct setup *setup, const struct schematic_symbol *s,
                          const struct part_way *w)
{
    int top = wire_at(d, leads, s->x, s->y - s->length / 2),
        foot = wire_at(d, leads, s->x, s->y + s->length / 2);
    const char *a = point_name(setup, w->point[0]), *b = point_name(setup, w->point[w->points - 1]);
    bool swapped = false;
    for (int i = 0; i < names->n; i++)
        swapped |= names->piece[i] == top && strcmp(names->name[i], b) == 0;
    same(names, swapped ? b : a, top, s->part->name);
    same(names, swapped ? a : b, foot, s->part->name);
    if (w->points == 3) same(names, w->point[1], wire_at(d, leads, s->x, s->y), s->part->name);
}

/* The winding that a symbol is: the one with its volts written beside it stands at that height. */
static bool is_winding(const struct schematic *d, const struct schematic_symbol *s,
                       const char *name)
{
    for (int i = 0; i < d->labels.n; i++) {
        const struct schematic_label *l = &d->labels.at[i];
        if (l->part == s->part && strcmp(l->text, name) == 0 && fabs(l->y - s->y) < s->length / 2 &&
            l->x > s->x && l->x < s->x + 15)
            return true;
    }
    return false;
}

static void check_transformer(const struct setup *setup, const struct schematic *d,
                              const int *leads, struct names *names,
                              const struct schematic_symbol *s)
{
    const struct set *set = setup->stages.at[0].set;
    struct part_way w;
    if (s->turn == 2) {
        if (!part_primary(set, s->part, &w)) part_way(set, s->part, 0, &w);
        check_winding(d, leads, names, setup, s, &w);
        return;
    }
    for (int k = s->part->kind->line_output; part_way(set, s->part, k, &w); k++) {
        if (w.name && !is_winding(d, s, w.name)) continue;
        if (w.points) check_winding(d, leads, names, setup, s, &w);
        return;
    }
    CHECK(false, "%s: a winding without its name", s->part->name);
}

static void check_slider(const struct setup *setup, const struct schematic *d, const int *leads,
                         struct names *names, const struct schematic_symbol *s)
{
    struct part_way output;
    assert_true(part_way(setup->stages.at[0].set, s->part, 1, &output));
    same(names, point_name(setup, output.point[0]), wire_at(d, leads, s->x + s->length, s->y),
         s->part->name);
}

static const struct schematic_symbol *nth_symbol(const struct schematic *d, const struct part *part,
                                                 int n)
{
    for (int i = 0; i < d->symbols.n; i++)
        if (d->symbols.at[i].part == part && n-- == 0) return &d->symbols.at[i];
    return NULL;
}

/* The symbol of section k bears its name: `V5.2`, or that of the part. */
static int section_of(const struct schematic *d, const struct schematic_symbol *s)
{
    int section = 0;
    double least = HUGE_VAL;
    for (int i = 0; i < d->labels.n; i++) {
        const struct schematic_label *l = &d->labels.at[i];
        const char *dot =
            l->part == s->part && l->style == LABEL_NAME ? strrchr(l->text, '.') : NULL;
        double far = dot ? hypot(l->x - s->x, l->y - s->y) : HUGE_VAL;
        if (far < least) least = far, section = atoi(dot + 1) - 1;
    }
    return section;
}

static void check_joined(const struct setup *setup, const struct schematic *d)
{
    struct names names = {.n = 0};
    int *leads = join_wires(d);
    for (int i = 0; i < d->calls.n; i++) {
        const struct schematic_call *c = &d->calls.at[i];
        CHECK(c->number == i + 1, "call-out %d has number %d", i + 1, c->number);
        same(&names, d->nets.at[c->net].name, wire_at(d, leads, c->x, c->tip), "call-out");
    }
    for (int i = 0; i < d->symbols.n; i++) {
        const struct schematic_symbol *s = &d->symbols.at[i];
        if (s->shape == SHAPE_REFERENCE)
            same(&names, setup->stages.at[0].circuit->reference,
                 wire_at(d, leads, s->x, s->y - s->length / 2), "reference");
    }
    for (int i = 0; i < d->symbols.n; i++) {
        const struct schematic_symbol *s = &d->symbols.at[i];
        if (s->shape == SHAPE_SLIDER) check_slider(setup, d, leads, &names, s);
        else if (s->shape == SHAPE_WINDING) check_transformer(setup, d, leads, &names, s);
        else if (s->shape == SHAPE_TWO_PLATES) check_two_plates(setup, d, leads, &names, s);
        else if (s->shape < SHAPE_TWO_PLATES && s->part)
            check_ends(setup, d, leads, &names, s, section_of(d, s));
    }
}

/* ---- everything once ---- */

static void check_once(const struct setup *setup, const struct schematic *d)
{
    const struct set *set = setup->stages.at[0].set;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        const struct schematic_symbol *first = nth_symbol(d, part, 0);
        struct part_way way;
        int ways = 0, names = 0;
        while (part_way(set, part, ways, &way)) ways++;
        CHECK(first, "%s is not drawn", part->name);
        if (part_is(part, ROLE_TRANSFORMER) || part->kind->line_output ||
            first->shape == SHAPE_TWO_PLATES)
            ways = 1;
        for (int k = 0; k < d->labels.n; k++)
            names += d->labels.at[k].part == part && d->labels.at[k].style == LABEL_NAME;
        CHECK(names == ways, "%s: %d names for %d ways", part->name, names, ways);
    }
    int named = 0;
    for (int i = 0; i < d->nets.n; i++) {
        int calls = 0, at = circuit_find_point(set->circuit, d->nets.at[i].name);
        for (int k = 0; k < d->calls.n; k++) calls += d->calls.at[k].net == i;
        bool apart =
            strcmp(d->nets.at[i].name, set->circuit->reference) == 0 || set->circuit->inner.at[at];
        CHECK(calls == !apart, "%s: %d call-outs", d->nets.at[i].name, calls);
        named += !set->circuit->inner.at[at];
    }
    for (int i = 0; i < set->circuit->points.n; i++)
        named -= !set->circuit->inner.at[i] &&
                 point_name(setup, set->circuit->points.at[i]) == set->circuit->points.at[i];
    CHECK(named == 0, "%d points more or fewer than there are", named);
}

/* ---- nothing on anything ---- */

struct rectangle {
    double x1, y1, x2, y2;
};

static struct rectangle label_box(const struct schematic_label *l)
{
    double left = l->centred ? l->x - l->width / 2 : l->x;
    double high = l->style == LABEL_SIGN ? 2.2 : SCHEMATIC_CAPITAL;
    return (struct rectangle){left, l->y - high, left + l->width, l->y};
}

static bool overlap(struct rectangle a, struct rectangle b)
{
    return a.x1 < b.x2 - NEAR && b.x1 < a.x2 - NEAR && a.y1 < b.y2 - NEAR && b.y1 < a.y2 - NEAR;
}

static struct rectangle wire_box(const struct schematic_wire *w)
{
    return (struct rectangle){fmin(w->x1, w->x2) - 0.2, fmin(w->y1, w->y2) - 0.2,
                              fmax(w->x1, w->x2) + 0.2, fmax(w->y1, w->y2) + 0.2};
}

static struct rectangle ring_box(const struct schematic_call *c)
{
    const double r = SCHEMATIC_CALL;
    return (struct rectangle){c->x - r, c->y - r, c->x + r, c->y + r};
}

/* The middle of a symbol, where nobody else's wire may pass. */
static struct rectangle symbol_box(const struct schematic_symbol *s)
{
    double along = s->length / 2 - 0.5, aside = s->shape == SHAPE_TWO_PLATES ? 9 : 1.5;
    bool level = s->turn % 2;
    double dx = level ? along : aside, dy = level ? aside : along;
    return (struct rectangle){s->x - dx, s->y - dy, s->x + dx, s->y + dy};
}

static void check_apart(const struct schematic *d)
{
    for (int i = 0; i < d->labels.n; i++) {
        struct rectangle box = label_box(&d->labels.at[i]);
        const char *text = d->labels.at[i].text;
        for (int k = 0; k < i; k++)
            CHECK(!overlap(box, label_box(&d->labels.at[k])), "`%s` lies on `%s`", text,
                  d->labels.at[k].text);
        for (int k = 0; k < d->wires.n; k++)
            CHECK(!overlap(box, wire_box(&d->wires.at[k])), "`%s` is crossed by a wire", text);
        for (int k = 0; k < d->calls.n; k++)
            CHECK(!overlap(box, ring_box(&d->calls.at[k])), "`%s` lies on call-out %d", text,
                  k + 1);
        for (int k = 0; k < d->symbols.n; k++)
            CHECK(!overlap(box, symbol_box(&d->symbols.at[k])), "`%s` lies on a symbol", text);
    }
    for (int i = 0; i < d->calls.n; i++) {
        for (int k = 0; k < i; k++)
            CHECK(!overlap(ring_box(&d->calls.at[i]), ring_box(&d->calls.at[k])),
                  "call-outs %d and %d lie on each other", k + 1, i + 1);
        for (int k = 0; k < d->wires.n; k++)
            CHECK(!overlap(ring_box(&d->calls.at[i]), wire_box(&d->wires.at[k])),
                  "call-out %d is crossed by a wire", i + 1);
    }
    for (int i = 0; i < d->symbols.n; i++) {
        const struct schematic_symbol *s = &d->symbols.at[i];
        for (int k = 0; k < i && s->shape != SHAPE_SLIDER; k++)
            CHECK(!overlap(symbol_box(s), symbol_box(&d->symbols.at[k])), "two symbols overlap");
        for (int k = 0; k < d->wires.n && s->shape < SHAPE_WINDING; k++)
            CHECK(s->heater || !overlap(symbol_box(s), wire_box(&d->wires.at[k])),
                  "a wire runs through %s", s->part ? s->part->name : "mains");
    }
}

/* ---- one setup ---- */

static void check_same(const struct schematic *a, const struct schematic *b)
{
    assert_int_equal(a->wires.n, b->wires.n);
    assert_int_equal(a->labels.n, b->labels.n);
    for (int i = 0; i < a->wires.n; i++)
        assert_memory_equal(&a->wires.at[i], &b->wires.at[i], 4 * sizeof(double));
    for (int i = 0; i < a->labels.n; i++)
        assert_memory_equal(&a->labels.at[i].x, &b->labels.at[i].x, 2 * sizeof(double));
}

void drawn_check(struct arena *owner, const struct setup *setup, const char *name)
{
    arena = owner;
    const struct part **over =
        ARENA_ARRAY(arena, const struct part *, setup->stages.at[0].set->parts.n);
    int n = setup->stages.at[0].set->parts.n;
    for (int i = 0; i < n; i++) over[i] = setup->stages.at[0].set->parts.at[i];
    what = arena_printf(arena, "%s, %s", name, setup->variant);
    const struct schematic *whole = schematic_make(arena, setup, NULL, 0, 0);
    check_once(setup, whole);
    check_joined(setup, whole);
    check_apart(whole);
    check_same(whole, schematic_make(arena, setup, NULL, 0, 0));
    what = arena_printf(arena, "%s, %s, in strips and marked", name, setup->variant);
    const struct schematic *strips = schematic_make(arena, setup, over, n, 110);
    check_once(setup, strips);
    check_apart(strips);
    CHECK(strips->width <= 125, "%.0f mm wide", strips->width);
}
