/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heat of a transformer: a body for the core, which alone reaches the room, and one for each
 * winding with volts enough to matter, which reaches the core through its insulation. So an
 * overloaded winding runs ahead of the rest, and all of it warms in the end.
 *
 * The copper is shared out without knowing the turns: a winding of N turns of mean length l and
 * wire of section a has the mass density N l a and the ohms rho N l/a, so its mass goes as (N
 * l)^2/ohms, and N l as its volts. */
#include <math.h>

#include "heater.h"
#include "kinds.h"
#include "numbers.h"
#include "transformer.h"

/* 0.7 kg copper in a transformer of 2.7 kg: estimate, no source. */
#define COPPER_SHARE 0.26
#define COPPER_HEAT 385.0 /* [J/(kg K)]; both from memory */
#define IRON_HEAT 460.0

/* 2.0 kg at 100 VA, and volt-amperes as the 4th, mass as the 3rd power of the size at equal flux
 * and current density; common practice, no source. */
#define MASS_AT_100_VA 2.0 /* [kg] */

/* A 2.7 kg one loses 24 W at 65 K rise of its copper, of which the surface takes 48 K and the
 * way from copper to core, at 2/3 of the watts, 17 K; surfaces go as mass^(2/3). Estimate. */
#define RESISTANCE_AT_1_KG 5.2 /* [K/W] */
#define ROOM_SHARE 0.74        /* core to room, of that resistance */
#define WITHIN_SHARE 0.39      /* all copper to core */

/* The mean of a winding lies so far below its hottest spot; customary allowance, from memory. */
#define HOT_SPOT 10.0 /* [K] */

/* A winding with less of the copper than this is none but a break in the wire, told as ohms. */
#define BROKEN 1e-4

/* --- keys ----------------------------------------------------------------------------------- */

static void read_class(struct set *set, const struct part *part, struct warmth *w)
{
    /* IEC 60085, thermal classes; from memory */
    static const char *const classes[] = {"A", "E", "B", "F", "H", NULL};
    static const double celsius[] = {105, 120, 130, 155, 180};
    int k = part_word(set, part, "insulation class", classes);
    w->class_given = k >= 0;
    w->class_name = classes[k < 0 ? 0 : k];
    w->class_limit = celsius[k < 0 ? 0 : k] + ZERO_CELSIUS;
}

void transformer_read_warmth(struct set *set, const struct part *part, struct warmth *w)
{
    w->mass = w->resistance = (double)NAN;
    part_value(set, part, "mass", UNIT_KILOGRAM, 0.01, &w->mass);
    part_value(set, part, "thermal resistance", UNIT_KELVIN_PER_WATT, 1e-3, &w->resistance);
    read_class(set, part, w);
}

/* --- guesses -------------------------------------------------------------------------------- */

static double mass(struct set *set, const struct part *part, const struct warmth *w, double va)
{
    if (!isnan(w->mass)) return w->mass;
    double kg = MASS_AT_100_VA * pow(va / 100, 0.75);
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "mass",
                                        .value = kg,
                                        .low = kg / 1.5,
                                        .high = kg * 1.8,
                                        .unit = UNIT_KILOGRAM,
                                        .basis = "estimate from its volt-amperes, 2 kg at 100 VA; "
                                                 "common practice, no source",
                                        .known_by = KNOWN_BY_SCALES});
    return kg;
}

static double resistance(struct set *set, const struct part *part, const struct warmth *w,
                         double kg)
{
    if (!isnan(w->resistance)) return w->resistance;
    double r = RESISTANCE_AT_1_KG / pow(kg, 2.0 / 3);
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "thermal resistance",
                                        .value = r,
                                        .low = 0.7 * r,
                                        .high = 1.5 * r,
                                        .unit = UNIT_KELVIN_PER_WATT,
                                        .basis = "estimate from its mass, 65 K at 24 W for 2.7 kg; "
                                                 "common practice, no source",
                                        .known_by = KNOWN_BY_PRIMARY_WARMTH});
    return r;
}

static void assume_class(struct set *set, const struct part *part, const struct warmth *w)
{
    if (w->class_given) return;
    set_assume(set, (struct assumption){.part = part->name,
                                        .key = "insulation class",
                                        .value = w->class_limit,
                                        .low = w->class_limit,
                                        .high = w->class_limit + 15,
                                        .unit = UNIT_CELSIUS,
                                        .basis = "class A of IEC 60085, impregnated paper and "
                                                 "cotton; from memory"});
}

/* Volts at rated line, squared, over ohms. */
static double weight(const struct transformer *t, const struct winding *w)
{
    double sum = 0;
    for (int i = 0; i < w->halves; i++)
        if (w->half[i].ohms > 0) sum += sq(w->half[i].volts * t->rated / w->line) / w->half[i].ohms;
    return sum;
}

struct heating transformer_heating(struct set *set, const struct part *part,
                                   const struct transformer *t, double va)
{
    struct heating h = {.core = {.device = -1}};
    if (t->ideal) return h;
    double kg = mass(set, part, &t->warmth, va), r = resistance(set, part, &t->warmth, kg);
    assume_class(set, part, &t->warmth);
    h.copper_mass = COPPER_SHARE * kg;
    h.iron_mass = kg - h.copper_mass;
    h.to_room = 1 / (ROOM_SHARE * r);
    h.within = 1 / (WITHIN_SHARE * r);
    h.class_limit = t->warmth.class_limit;
    h.weights = t->ohms > 0 ? sq(t->rated) / t->ohms : 0;
    for (int k = 0; k < t->windings; k++) h.weights += weight(t, &t->winding[k]);
    return h;
}

/* --- bodies --------------------------------------------------------------------------------- */

/* The set that is hot has been on for less than its transformer takes to warm: cold copper gives
 * the higher peaks of a hot restart. */
static int temperature(struct set *set, int device, const char *role,
                       const struct thermal_body *body, double limit)
{
    return circuit_state(set->circuit, device, role,
                         (struct state){.cold = body->ambient,
                                        .hot = body->ambient,
                                        .range = 100,
                                        .is_temperature = true,
                                        .body = body,
                                        .limit = limit});
}

static void rate(struct set *set, const struct part *part, const char *role, double limit)
{
    const struct transformer *t = part->data;
    double spare = t->warmth.class_limit - limit;
    set_rate(set,
             (struct rating){.subject = arena_printf(set->arena, "%s.%s", part->name, role),
                             .measure = MEASURE_TEMPERATURE,
                             .limit = limit,
                             .source = arena_printf(
                                 set->arena, "class %s of IEC 60085%s%s", t->warmth.class_name,
                                 spare > 0 ? ", 10 K off from mean to hottest spot; from memory"
                                           : "; from memory",
                                 t->warmth.class_given ? "" : "; the class is assumed"),
                             .system = "",
                             .harm = HARM_INSULATION});
}

/* Watts of the windings that stay cold, per square of the core's volts: heater windings are too
 * low to warm much, and what they draw follows the core's volts. Amperes as drawn by the heaters
 * named on them; a shorted heater winding warms the primary alone. */
static double cold_copper(const struct set *set, const struct transformer *t)
{
    double sum = 0, watts;
    for (int k = 0; k < t->windings; k++) {
        const struct winding *w = &t->winding[k];
        if (transformer_feeds_plates(t, w)) continue;
        double ohms = 0,
               amperes = heater_draw(set, set->circuit->points.at[w->half[0].from],
                                     set->circuit->points.at[w->half[w->halves - 1].to], &watts);
        for (int i = 0; i < w->halves; i++) ohms += w->half[i].ohms;
        sum += sq(amperes) * ohms;
    }
    return sum / sq(t->rated);
}

void transformer_warm_core(struct set *set, const struct part *part, struct heating *h, int device,
                           struct core_law *law)
{
    const struct transformer *t = part->data;
    double cold = 0; /* copper that counts as core */
    for (int k = 0; k < t->windings; k++)
        if (!transformer_feeds_plates(t, &t->winding[k])) cold += weight(t, &t->winding[k]);
    if (cold > 0) cold *= h->copper_mass / h->weights;
    law->loss = t->iron.loss / sq(t->rated) + cold_copper(set, t);
    law->body = (struct thermal_body){.heat = IRON_HEAT * h->iron_mass + COPPER_HEAT * cold,
                                      .to_ambient = h->to_room,
                                      .ambient = set->ambient};
    int state = temperature(set, device, "core", &law->body, h->class_limit);
    h->core = (struct body){device, state, &law->body};
    rate(set, part, "core", h->class_limit);
}

/* --- copper --------------------------------------------------------------------------------- */

static struct body warm(struct set *set, const struct part *part, const struct heating *h,
                        const struct copper *copper, double limit)
{
    struct warm_law *law = ARENA_NEW(set->arena, struct warm_law);
    double kg = h->copper_mass * copper->weight / h->weights;
    *law = (struct warm_law){
        .ports = copper->pieces,
        .coefficient = kind_copper_coefficient(set->ambient),
        .reference = set->ambient,
        .body = {.heat = COPPER_HEAT * kg, .ambient = set->ambient, .copper = true}};
    int device = circuit_device(set->circuit, part->name, copper->role, &law_warm, law);
    int state = temperature(set, device, copper->role, &law->body, limit);
    for (int k = 0; k < copper->pieces; k++) {
        law->resistance[k] = copper->piece[k].ohms;
        circuit_port(set->circuit, device,
                     arena_printf(set->arena, "%s warming %d", copper->role, k + 1),
                     copper->piece[k].from, copper->piece[k].to, PORT_BASED);
    }
    rate(set, part, copper->role, limit);
    return (struct body){device, state, &law->body};
}

/* A way of `g` [W/K] between two bodies, seen from one of them. */
static void lead(struct set *set, const struct body *from, const struct body *to, double g)
{
    circuit_foreign(set->circuit, from->device, to->state);
    from->thermal->link[from->thermal->links++] = g;
}

static void join(struct set *set, const struct body *a, const struct body *b, double g)
{
    lead(set, a, b, g);
    lead(set, b, a, g);
}

struct body transformer_warm_winding(struct set *set, const struct part *part, struct heating *h,
                                     const struct copper *copper)
{
    bool room = h->core.device >= 0 && h->core.thermal->links < DEVICE_FOREIGN - 1;
    bool whole = copper->weight > BROKEN * h->weights;
    if (!room || !whole || copper->pieces == 0) return (struct body){.device = -1};
    struct body b = warm(set, part, h, copper, h->class_limit - HOT_SPOT);
    join(set, &b, &h->core, h->within * copper->weight / h->weights);
    return b;
}

void transformer_warm_turns(struct set *set, const struct part *part, struct heating *h,
                            const struct copper *turns, const struct copper *copper,
                            const struct body *winding)
{
    if (h->core.device < 0 || turns->pieces == 0) return;
    struct body b = warm(set, part, h, turns, h->class_limit);
    double whole = (copper->weight + turns->weight) / h->weights;
    join(set, &b, winding->device >= 0 ? winding : &h->core, h->within * whole);
}
