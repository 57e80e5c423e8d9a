/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "causes.h"

#include <math.h>
#include <string.h>

#include "numbers.h"

enum { NARROW = 5 }; /* nodes of a range of less than a factor of ten */
#define LOGARITHMIC 3.0
#define WIDE 10.0
#define LEAST_SHARE 1e-2 /* of the range's end, where it begins at nothing */

struct listing {
    struct arena *arena;
    const struct set *set;
    cause_list list;
};

/* ---- severities ---- */

double cause_place(const struct cause *c, double severity)
{
    double low = c->severity[0], high = c->severity[c->nodes - 1];
    if (!(high > low)) return 0;
    return c->logarithmic ? log(severity / low) / log(high / low) : (severity - low) / (high - low);
}

double cause_severity(const struct cause *c, double place)
{
    double low = c->severity[0], high = c->severity[c->nodes - 1];
    return c->logarithmic ? low * pow(high / low, place) : low + place * (high - low);
}

static void spread(struct cause *c, double low, double high)
{
    if (low == 0 && high > 0) low = LEAST_SHARE * high;
    c->logarithmic = low > 0 && high / low >= LOGARITHMIC;
    c->nodes = low > 0 && high / low >= WIDE ? CAUSE_NODES : NARROW;
    double first = low, last = high;
    for (int i = 0; i < c->nodes; i++) {
        double place = (double)i / (c->nodes - 1);
        c->severity[i] =
            c->logarithmic ? first * pow(last / first, place) : first + place * (last - first);
    }
}

const char *cause_severity_text(struct arena *arena, const struct cause *c, double severity)
{
    char text[64];
    if (c->discrete)
        return c->choice[(int)lround(severity)] ? c->choice[(int)lround(severity)] : "";
    if (c->nodes < 2) return "";
    quantity_text(severity * c->times, c->unit, 2, text, sizeof text);
    return arena_printf(arena, "%s%s", c->fault && c->fault->severity.more ? "+" : "", text);
}

/* ---- faults that parts list ---- */

static void add_fault(struct listing *l, const struct part *part, const struct part_fault *fault)
{
    struct cause c = {.part = part->name,
                      .name = fault->name,
                      .fault = fault,
                      .dangerous = fault->dangerous,
                      .overloads = fault->overloads,
                      .prior = diagnose_prior(l->set, part, fault->name),
                      .nodes = 1,
                      .times = 1};
    const struct fault_severity *s = &fault->severity;
    c.severity[0] = (double)NAN;
    if (s->key) {
        c.unit = s->of ? s->of_unit : s->unit;
        if (s->of) c.times = s->of(part);
        spread(&c, s->low, s->high);
    }
    array_push(l->arena, &l->list, c);
}

/* What drifts goes up or stays; a value near that of the sound part is no fault. */
static void add_faults(struct listing *l)
{
    for (int i = 0; i < l->set->parts.n; i++) {
        const struct part *part = l->set->parts.at[i];
        if (part_condition(part) && strcmp(part_condition(part), "good") != 0) continue;
        for (const struct part_fault *f = part->kind->faults; f && f->name; f++)
            if (fault_can(l->set, part, f)) add_fault(l, part, f);
    }
}

/* ---- what no part lists ---- */

static void add_special(struct listing *l, enum diagnose_special special, const char *part,
                        const char *name, struct cause c)
{
    c.special = special;
    c.part = part;
    c.name = name;
    c.prior = diagnose_special_prior(special);
    c.times = c.times > 0 ? c.times : 1;
    if (c.nodes == 0) c.nodes = 1, c.severity[0] = (double)NAN;
    array_push(l->arena, &l->list, c);
}

static void add_line(struct listing *l)
{
    struct cause low = {.unit = UNIT_VOLT, .times = l->set->line_volts}, high = low;
    if (!(l->set->line_volts > 0)) return;
    spread(&low, DIAGNOSE_LINE_LEAST, DIAGNOSE_LINE_LOW);
    spread(&high, DIAGNOSE_LINE_HIGH, DIAGNOSE_LINE_MOST);
    add_special(l, SPECIAL_LINE_LOW, "mains", "low", low);
    add_special(l, SPECIAL_LINE_HIGH, "mains", "high", high);
}

static void add_choice(struct cause *c, const char *choice)
{
    for (int i = 0; i < c->nodes; i++)
        if (strcmp(c->choice[i], choice) == 0) return;
    if (c->nodes == CAUSE_NODES) return;
    c->choice[c->nodes] = choice;
    c->severity[c->nodes] = c->nodes;
    c->nodes++;
    c->discrete = true;
}

/* The volts of a model's heater, as written first at its key; 0: none. */
static double heater_volts(const struct model *model)
{
    struct token t[QUANTITY_TOKENS];
    struct complaint why;
    const struct node *heater = node_get(model->values, "heater");
    if (!heater || heater->kind != NODE_SCALAR) return 0;
    int n = quantity_scan(heater->text, t, &why);
    return n > 0 && !t[0].is_word && t[0].unit == UNIT_VOLT ? t[0].value : 0;
}

static const char *drop_of(const struct model *model)
{
    const struct node *drop = node_get(model->values, "drop");
    return drop && drop->kind == NODE_SCALAR ? drop->text : NULL;
}

/* Types of another drop whose heater takes the same volts: what an unlucky hand may have put in. */
static void add_other_type(struct listing *l, const struct part *part)
{
    const struct catalogue *all = l->set->catalogue;
    struct cause c = {0};
    if (!part->model || !part_is(part, ROLE_TUBE)) return;
    double volts = heater_volts(part->model);
    const char *own = drop_of(part->model);
    for (int i = 0; i < catalogue_count(all) && volts > 0 && own; i++) {
        const struct model *m = catalogue_at(all, i);
        const char *drop = drop_of(m);
        bool seen = false;
        if (strcmp(m->kind, part->model->kind) != 0 || heater_volts(m) != volts || !drop) continue;
        for (int k = 0; k < c.nodes; k++)
            seen |= strcmp(drop_of(catalogue_find(all, c.choice[k])), drop) == 0;
        if (!seen && strcmp(drop, own) != 0) add_choice(&c, m->name);
    }
    if (c.nodes > 0) add_special(l, SPECIAL_OTHER_TYPE, part->name, "another type", c);
}

/* Points that another filter capacitor's minus, or the reference, is at. */
static void add_wrong_return(struct listing *l, const struct part *part)
{
    struct part_way own, way;
    struct cause c = {0};
    if (!part_way(l->set, part, 0, &own) || own.points < 2) return;
    const char *reference = l->set->circuit->reference;
    if (circuit_find_point(l->set->circuit, reference) >= 0 && strcmp(own.point[1], reference) != 0)
        add_choice(&c, reference);
    for (int i = 0; i < l->set->parts.n; i++) {
        const struct part *other = l->set->parts.at[i];
        if (!part_is(other, ROLE_FILTER) || !part_way(l->set, other, 0, &way) || way.points < 2)
            continue;
        if (strcmp(way.point[1], own.point[1]) != 0 && strcmp(way.point[1], own.point[0]) != 0)
            add_choice(&c, way.point[1]);
    }
    if (c.nodes > 0) add_special(l, SPECIAL_WRONG_RETURN, part->name, "wrong return", c);
}

cause_list causes_of(struct arena *arena, const struct set *set)
{
    struct listing l = {.arena = arena, .set = set};
    add_special(&l, SPECIAL_SOUND, "set", "no fault found", (struct cause){0});
    add_faults(&l);
    for (int i = 0; i < set->parts.n; i++) {
        if (part_is(set->parts.at[i], ROLE_RECTIFIER)) add_other_type(&l, set->parts.at[i]);
        if (part_is(set->parts.at[i], ROLE_FILTER)) add_wrong_return(&l, set->parts.at[i]);
    }
    add_line(&l);
    add_special(&l, SPECIAL_OUTSIDE, "set", "outside the supply, or not in this list",
                (struct cause){0});
    double sum = 0;
    for (int i = 0; i < l.list.n; i++) sum += l.list.at[i].prior;
    for (int i = 0; i < l.list.n; i++) l.list.at[i].prior /= sum;
    return l.list;
}

void cause_lay(struct overrides *o, const struct set *set, const struct cause *c, double severity)
{
    struct fault_change changes[FAULT_CHANGES];
    const struct part *part = set_find(set, c->part);
    struct part_way way;
    switch (c->special) {
    case SPECIAL_NONE: {
        int n = fault_lay(o->arena, set, part, c->fault, severity, changes);
        for (int i = 0; i < n; i++) overrides_text(o, c->part, changes[i].key, changes[i].text);
        break;
    }
    case SPECIAL_LINE_LOW:
    case SPECIAL_LINE_HIGH:
        overrides_value(o, "mains", "voltage", set->line_volts * severity, UNIT_VOLT);
        break;
    case SPECIAL_OTHER_TYPE:
        overrides_text(o, c->part, "type", c->choice[(int)lround(severity)]);
        break;
    case SPECIAL_WRONG_RETURN: {
        part_way(set, part, 0, &way);
        const char *ends[] = {way.point[0], c->choice[(int)lround(severity)]};
        overrides_points(o, c->part, "across", ends, 2);
        break;
    }
    default: break;
    }
}
