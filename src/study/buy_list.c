/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The worst of every figure is looked up in the finished runs; the rules of buy_sizes.c turn it
 * into what is sold. */
#include "buy_list.h"

#include <math.h>
#include <string.h>

#include "buy_runs.h"
#include "limit.h"
#include "numbers.h"
#include "preferred.h"
#include "trial.h"

enum { SMALLER_MOST = 2 }; /* sizes below the one next above what is drawn */

#define FILM_LOSS 0.001 /* dissipation factor of polypropylene, Vishay doc. 28164 */

struct buyer {
    struct arena *arena;
    struct buy_list *list;
    const struct set *set; /* with the new parts */
    const struct circuit *circuit;
};

/* ---- figures ---- */

static double figure(const struct buyer *b, int run, const char *subject, enum measure measure)
{
    const struct result *r = b->list->run[run];
    const struct figure *f = r ? run_figure(r, subject, measure) : NULL;
    return f ? f->value : (double)NAN;
}

/* Takes a greater value; ties stay with the earlier run. */
static void worse(struct buy_worst *w, double value, int run)
{
    if (isnan(value) || (w->run >= 0 && !(value > w->value))) return;
    w->value = value;
    w->run = run;
}

static struct buy_worst none(void)
{
    return (struct buy_worst){(double)NAN, -1};
}

/* Over the runs with the set's own rectifier. */
static struct buy_worst worst_of(const struct buyer *b, const char *subject, enum measure measure,
                                 double sign)
{
    struct buy_worst w = none();
    for (int r = BUY_HOT; r <= BUY_OPEN; r++) worse(&w, sign * figure(b, r, subject, measure), r);
    return w;
}

/* The greatest magnitude. */
static struct buy_worst worst_volts(const struct buyer *b, const char *subject)
{
    struct buy_worst w = worst_of(b, subject, MEASURE_HIGHEST_VOLTAGE, 1);
    struct buy_worst low = worst_of(b, subject, MEASURE_LOWEST_VOLTAGE, -1);
    worse(&w, low.value, low.run);
    return w;
}

/* ---- what a part is ---- */

bool buy_is_filter(const struct part *part)
{
    return part_is(part, ROLE_ELECTROLYTIC | ROLE_FILTER);
}

bool buy_is_replaced(const struct part *part)
{
    return part_is(part, ROLE_TUBE | ROLE_SELENIUM);
}

/* ---- capacitors ---- */

static double point_volts(const struct buyer *b, const char *point)
{
    double v = figure(b, BUY_HOT, point, MEASURE_SETTLED_VOLTAGE);
    return isnan(v) ? 0 : v; /* the reference has no figures */
}

static void set_polarity(const struct buyer *b, const struct capacitor *c, struct buy_capacitor *k)
{
    const char *from = b->circuit->points.at[c->from], *to = b->circuit->points.at[c->to];
    double mean = figure(b, BUY_HOT, k->name, MEASURE_SETTLED_VOLTAGE);
    const struct result *hot = b->list->run[BUY_HOT];
    const struct figure *ripple = hot ? run_ripple(hot, k->name) : NULL;
    k->alternating = !ripple || !(fabs(mean) > ripple->value);
    k->swapped = mean < 0 && !k->alternating;
    k->plus = k->swapped ? to : from;
    k->minus = k->swapped ? from : to;
    k->plus_volts = point_volts(b, k->plus);
    k->minus_volts = point_volts(b, k->minus);
    k->insulated = b->circuit->reference && strcmp(k->minus, b->circuit->reference) != 0;
    k->reverse = k->swapped ? worst_of(b, k->name, MEASURE_HIGHEST_VOLTAGE, 1)
                            : worst_of(b, k->name, MEASURE_LOWEST_VOLTAGE, -1);
    if (!(k->reverse.value > BUY_REVERSE)) k->reverse = none();
}

/* One part, a pair, or for electrolytics over 500 V either. */
static void set_rating(struct buy_capacitor *k)
{
    k->rating = buy_volts(k->volts.value, k->electrolytic);
    k->uncommon = k->electrolytic && k->rating > 500;
    if (k->electrolytic && (k->rating == 0 || k->uncommon))
        k->pair = buy_pair(k->farads, k->volts.value);
}

/* Of a part with the dissipation factor its sheet allows, the same ohms at any frequency. */
static void set_can(const struct buyer *b, struct buy_capacitor *k)
{
    double rating = k->rating > 0        ? k->rating
                    : k->pair.rating > 0 ? 2 * k->pair.rating
                                         : k->volts.value;
    double loss = k->electrolytic ? buy_loss(rating) : FILM_LOSS;
    double watts = sq(k->ripple.value) * loss / (2 * PI * 120 * k->farads);
    enum capacitor_make make = k->electrolytic ? MAKE_MODERN : k->make;
    double rise = watts * capacitor_thermal_resistance(make, k->farads * rating);
    k->can = b->set->ambient + (rise > 0 ? rise : 0);
    double celsius = k->can - ZERO_CELSIUS;
    k->celsius = celsius <= BUY_COOL ? BUY_KIND : celsius <= BUY_KIND ? BUY_HOT_KIND : 0;
}

static void set_mates(const struct buyer *b, const struct capacitor *c, struct buy_capacitor *k)
{
    for (int i = 0; i < b->set->parts.n; i++) {
        const struct part *part = b->set->parts.at[i];
        const struct capacitor *other = part->data;
        if (!part_is(part, ROLE_CAPACITOR) || other == c) continue;
        if (buy_is_filter(part) && other->from == c->from && other->to == c->to)
            k->beside = part->name;
        if (strcmp(other->can_name, c->can_name) != 0) continue;
        k->can_name = c->can_name;
        k->parted |= other->to != c->to;
    }
}

static const enum measure first_measures[] = {MEASURE_FIRST_CAPACITOR, MEASURE_RUNNING_PEAK_CURRENT,
                                              MEASURE_INRUSH_PEAK_CURRENT, MEASURE_PEAK_I2T};

/* What a raised line alone may put over: a design-centre limit, which allows for a line that is so
 * much too high (tube manuals, definition of the design-centre system, from memory), and one that
 * no maker gives but that is derived. On the line as drawn neither may be passed. */
static bool allowed_for(const struct buy_list *list, const struct judged *j)
{
    bool centre = j->rating->system && strncmp(j->rating->system, "design-cent", 11) == 0;
    return list->raised > 0 && (centre || judge_derived(j->rating)) && j->share <= 1 + BUY_RAISED;
}

/* What the new value does to the rectifier it follows. */
static void set_limit(const struct buyer *b, struct buy_capacitor *k)
{
    const struct setup *setup = b->list->setup[BUY_HOT];
    k->rectifier = limit_rectifier(setup, arena_printf(b->arena, "%s.value", k->name));
    for (int i = 0; k->rectifier && i < 4; i++) {
        const struct judged *j = judge_worst(b->list->judgement[BUY_HOT], b->list->label[BUY_HOT],
                                             k->rectifier, first_measures[i]);
        if (!j || j->verdict != VERDICT_OVER) continue;
        bool allowed = allowed_for(b->list, j);
        double *share = allowed ? &k->raised_share : &k->share;
        if (!(j->share > *share)) continue;
        *share = j->share;
        *(allowed ? &k->raised : &k->limit) = first_measures[i];
        if (allowed) k->derived = judge_derived(j->rating);
    }
}

static void add_capacitor(struct buyer *b, const struct part *drawn, const struct part *part)
{
    const struct capacitor *old = drawn->data, *c = part->data;
    struct buy_capacitor k = {.name = part->name,
                              .make = old->make,
                              .electrolytic = capacitor_electrolytic(old),
                              .drawn = old->nominal,
                              .farads = c->nominal};
    k.volts = worst_volts(b, k.name);
    k.ripple = none();
    for (int r = BUY_HOT; r <= BUY_COLD; r++) /* before copper is warm it may be more */
        worse(&k.ripple, figure(b, r, k.name, MEASURE_RMS_CURRENT), r);
    k.frequency = figure(b, BUY_HOT, k.name, MEASURE_RIPPLE_FREQUENCY);
    set_rating(&k);
    set_can(b, &k);
    set_polarity(b, c, &k);
    set_mates(b, c, &k);
    set_limit(b, &k);
    array_push(b->arena, &b->list->capacitors, k);
}

/* ---- resistors ---- */

static double nearest(double ohms)
{
    double below = preferred_below(PREFERRED_E24, ohms),
           above = preferred_above(PREFERRED_E24, ohms);
    return ohms / below < above / ohms ? below : above;
}

static void add_resistor(struct buyer *b, const struct part *part)
{
    struct buy_resistor r = {.name = part->name, .drawn = part_ohms(part, 0)};
    if (!(r.drawn > 0)) return; /* a link */
    r.ohms = nearest(r.drawn);
    r.watts = worst_of(b, r.name, MEASURE_DISSIPATION, 1);
    r.volts = worst_volts(b, r.name);
    r.rating = buy_watts(r.watts.value);
    array_push(b->arena, &b->list->resistors, r);
}

/* ---- rectifiers ---- */

static void add_heater(const struct buyer *b, const struct part *part, struct buy_rectifier *v,
                       int i)
{
    const struct heater_pins *pins = &part->heaters[i];
    struct buy_heater *h = &v->heater[v->heaters++];
    *h = (struct buy_heater){.name = pins->part ? pins->part : pins->winding,
                             .volts = pins->volts,
                             .amperes = pins->amperes,
                             .ohms = (double)NAN};
    h->string =
        pins->part && !part_with(b->set, ROLE_TRANSFORMER) && pins->amperes > 0 && pins->volts > 0;
    if (!h->string) return;
    h->ohms = preferred_above(PREFERRED_E24, pins->volts / pins->amperes);
    h->watts = sq(1.1 * pins->amperes) * h->ohms;
    h->rating = buy_watts(h->watts);
}

static void take_inverse(const struct buyer *b, struct buy_rectifier *v, int run)
{
    if (!b->list->run[run]) return;
    const struct judged *j =
        judge_worst(b->list->judgement[run], b->list->label[run], v->name, MEASURE_INVERSE_VOLTAGE);
    if (j) worse(&v->inverse, j->figure.value, run);
}

/* The point of its cathode; "" when each plate has its own. */
static const char *cathode_of(const struct set *set, const struct part *part)
{
    struct part_way first, second;
    part_way(set, part, 0, &first);
    bool one = !part_way(set, part, 1, &second) || strcmp(first.point[1], second.point[1]) == 0;
    return one ? first.point[1] : "";
}

static void add_rectifier(struct buyer *b, const struct part *part)
{
    const char *type = part_type(part);
    struct buy_rectifier v = {.name = part->name,
                              .type = type ? type : "",
                              .tube = part_is(part, ROLE_TUBE),
                              .cathode = cathode_of(b->set, part),
                              .replaced = buy_is_replaced(part),
                              .inverse = none()};
    int first = v.replaced ? BUY_SILICON : BUY_HOT, last = v.replaced ? BUY_SILICON_OPEN : BUY_OPEN;
    for (int r = first; r <= last; r++) take_inverse(b, &v, r);
    v.diodes = v.inverse.run < 0 ? 0 : buy_diodes(v.inverse.value);
    for (int i = 0; v.tube && i < part->heater_count && v.heaters < BUY_HEATERS; i++)
        add_heater(b, part, &v, i);
    array_push(b->arena, &b->list->rectifiers, v);
}

/* ---- the list ---- */

static void gather(struct buyer *b, const struct set *drawn)
{
    struct buy_list *list = b->list;
    for (int i = 0; i < b->set->parts.n; i++) {
        const struct part *part = b->set->parts.at[i];
        const struct part *old = set_find(drawn, part->name);
        if (old && buy_is_filter(old)) add_capacitor(b, old, part);
        if (part_is(part, ROLE_RESISTOR)) add_resistor(b, part);
        if (part_is(part, ROLE_RECTIFIER)) add_rectifier(b, part);
    }
    list->line_current = none();
    worse(&list->line_current, figure(b, BUY_HOT, "mains", MEASURE_LINE_CURRENT), BUY_HOT);
    if (list->line_current.run >= 0) list->fuse = buy_fuse(list->line_current.value);
}

/* What the raised line alone is to excuse is looked at on the line as drawn. */
static void look_at_drawn(struct buyer *b, const struct scenario *s, const char *variant)
{
    const struct trial *t = NULL;
    for (int i = 0; i < b->list->capacitors.n; i++) {
        struct buy_capacitor *k = &b->list->capacitors.at[i];
        const struct scenario *bought;
        if (!k->raised) continue;
        const struct setup *setup =
            t ? t->setup : buy_drawn(b->arena, s, variant, b->list, &bought);
        if (setup && !t) t = trial_run(b->arena, setup, &(struct trial_options){0});
        const struct judged *j =
            t ? judge_worst(t->judgement, setup->variant, k->rectifier, k->raised) : NULL;
        if (j && j->verdict != VERDICT_OVER) k->drawn_share = j->share;
        else if (!k->limit) k->limit = k->raised, k->share = k->raised_share;
    }
}

/* Whether some first capacitor is to be tried a size smaller: what its own run finds over its
 * rating is not bought. */
static bool take_smaller(struct buyer *b)
{
    struct buy_list *list = b->list;
    bool any = false;
    for (int i = 0; i < list->capacitors.n; i++) {
        const struct buy_capacitor *k = &list->capacitors.at[i];
        struct buy_smaller one = {k->name, 1, k->limit, k->share, k->farads, k->rectifier};
        int at = 0;
        if (!k->limit) continue;
        while (at < list->smaller.n && strcmp(list->smaller.at[at].name, k->name) != 0) at++;
        if (at < list->smaller.n) {
            one.sizes = list->smaller.at[at].sizes + 1;
            list->smaller.at[at] = one;
        } else array_push(b->arena, &list->smaller, one);
        any = true;
    }
    return any;
}

/* The set as drawn on the line as drawn, and the worst volts of all runs. */
static void keep_or_replace(struct buyer *b, const struct setup *drawn)
{
    const struct trial_options o = {0};
    const struct trial *t = trial_run(b->arena, drawn, &o);
    struct buy_list *list = b->list;
    list->keep = keep_list(b->arena, drawn, t->judgement);
    for (int i = 0; i < list->keep.rows.n; i++) {
        struct keep_row *row = &list->keep.rows.at[i];
        for (int k = 0; k < list->capacitors.n; k++)
            if (strcmp(list->capacitors.at[k].name, row->name) == 0)
                keep_sees(row, list->capacitors.at[k].volts.value);
    }
}

const struct buy_list *buy_list(struct arena *arena, struct diags *diags, const struct scenario *s,
                                const char *variant, const struct buy_options *options)
{
    struct buy_list *list = ARENA_NEW(arena, struct buy_list);
    struct buyer b = {.arena = arena, .list = list};
    const struct setup *drawn;
    int sizes = 0;
    do {
        if (!buy_runs(arena, diags, s, variant, options, list)) return list;
        const struct stage *first = &list->setup[BUY_HOT]->stages.at[0];
        drawn = scenario_setup(arena, diags_new(arena), s, variant);
        b.set = first->set;
        b.circuit = first->circuit;
        list->capacitors.n = list->resistors.n = list->rectifiers.n = 0;
        gather(&b, drawn->stages.at[0].set);
        look_at_drawn(&b, s, variant);
    } while (sizes++ < SMALLER_MOST && take_smaller(&b));
    keep_or_replace(&b, drawn);
    if (options->ends) list->ends = buy_ends(arena, s, variant, options, list);
    return list;
}
