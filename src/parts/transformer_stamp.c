/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The star of one transformer: primary copper and leakage lead to one core node, where the ideal
 * windings, the core loss and the magnetising branch meet; every secondary has its copper alone. So
 * all windings share the drop of the primary. */
#include <assert.h>
#include <math.h>

#include "heater.h"
#include "kinds.h"
#include "numbers.h"
#include "transformer.h"

/* --- writing -------------------------------------------------------------------------------- */

/* Share of the line's volts that reaches the core with no load: open-circuit readings are told
 * without this small drop of magnetising and loss current in copper and leakage. */
static double idle_share(const struct transformer *t)
{
    if (t->ideal) return 1;
    double omega = 2 * PI * t->frequency, x = omega * t->iron.leakage;
    double b = x / (1 + 1e-6), a = t->ohms + x * 1e-3 / (1 + 1e-6); /* x beside 1000 x */
    double g = t->iron.loss / sq(t->rated), h = t->iron.magnetising / t->rated;
    return 1 / sqrt(sq(1 + a * g + b * h) + sq(b * g - a * h));
}

/* RMS of the magnetising current at rated line [A]: sinusoidal flux of that peak. */
static double exciting(const struct core_law *law, double peak)
{
    enum { STEPS = 64 };
    double sum = 0;
    for (int i = 0; i < STEPS; i++) {
        double c[PORT_COEFFICIENTS], g, flux = peak * sin(PI / 2 * (i + 0.5) / STEPS);
        law_core.prepare(law, &flux, NULL, c);
        sum += sq(law_core.current(law, 0, c, 0, &g));
    }
    return sqrt(sum / STEPS);
}

/* The tail of the saturation knee adds to the magnetising current below it: the inductance is made
 * so much larger that the whole is what a meter reads. At most 20 times, should the core be told to
 * saturate at its rated flux. */
static void fit_inductance(struct core_law *law, double amperes, double peak)
{
    double most = 1 / law->magnetising, least = most / 20;
    for (int i = 0; i < 50; i++) {
        double middle = (least + most) / 2;
        law->magnetising = 1 / middle;
        if (exciting(law, peak) > amperes) most = middle;
        else least = middle;
    }
}

static void stamp_core(struct set *set, const struct part *part, const struct transformer *t,
                       struct heating *h, int core)
{
    struct circuit *c = set->circuit;
    const struct iron *k = &t->iron;
    double omega = 2 * PI * t->frequency, peak = sqrt(2) * t->rated / omega; /* flux [V s] */
    struct core_law *law = ARENA_NEW(set->arena, struct core_law);
    *law = (struct core_law){.magnetising = t->rated / (omega * k->magnetising),
                             .air = k->air,
                             .saturation = k->saturation * peak};
    fit_inductance(law, k->magnetising, peak);
    circuit_resistor(c, part->name, "core loss", core, t->to, sq(t->rated) / k->loss);
    int device = circuit_device(c, part->name, "core", &law_core, law);
    double left = k->remanence * law->saturation;
    circuit_state(c, device, "flux", (struct state){.cold = left, .hot = left, .range = peak});
    transformer_warm_core(set, part, h, device, law);
    circuit_port(c, device, "magnetising", core, t->to, PORT_BASED);
}

/* Notes copper for its body: `volts` are those of its turns with rated line. */
static void add_piece(struct copper *copper, int from, int to, double ohms, double volts)
{
    if (!(ohms > 0)) return;
    assert(copper->pieces < PIECES);
    copper->piece[copper->pieces].from = from;
    copper->piece[copper->pieces].to = to;
    copper->piece[copper->pieces++].ohms = ohms;
    copper->weight += sq(volts) / ohms;
}

static void stamp_primary(struct set *set, const struct part *part, const struct transformer *t,
                          struct heating *h, int number)
{
    struct circuit *c = set->circuit;
    const char *subject = arena_printf(set->arena, "%s.primary", part->name);
    int core = circuit_inner(c, part->name, "core"),
        at = t->ideal ? core : circuit_inner(c, part->name, "primary");
    int way = circuit_resistor(c, part->name, "primary resistance", t->from, at, t->ohms);
    circuit_subject(c, way, subject);
    if (!t->ideal) {
        circuit_inductor(c, part->name, "leakage", at, core, t->iron.leakage);
        circuit_resistor(c, part->name, "leakage loss", at, core,
                         1000 * 2 * PI * t->frequency * t->iron.leakage);
        stamp_core(set, part, t, h, core);
    }
    circuit_winding(c, part->name, "primary", number, core, t->to, 1);
    struct copper copper = {.role = "primary"};
    add_piece(&copper, t->from, at, t->ohms, t->rated);
    transformer_warm_winding(set, part, h, &copper);
    kind_probe_volts(set, subject, t->from, t->to, PROBE_WINDING);
    kind_probe_amperes(set, subject, PROBE_WINDING, &way, 1);
}

/* One winding while it is written. */
struct stamping {
    struct set *set;
    const struct part *part;
    const struct transformer *t;
    const struct winding *w;
    int number;           /* of the ideal transformer */
    double share;         /* of the line's volts that reaches the core with no load */
    struct copper copper; /* its turns */
    struct copper turns;  /* those that are shorted */
};

/* `share` of the turns of a half between two points, its copper at the first or the last of them.
 * Returns the element that carries its current. */
static int stamp_turns(struct stamping *s, int i, const char *role, int from, int to, double share,
                       struct copper *body)
{
    struct circuit *c = s->set->circuit;
    const struct half *h = &s->w->half[i];
    const char *part = s->part->name, *copper = arena_printf(s->set->arena, "%s copper", role);
    double ohms = h->ohms * share;
    if (ohms > 0) { /* at the outside end */
        int inside = circuit_inner(c, part, copper), a = i ? inside : from, b = i ? to : inside;
        int e = circuit_resistor(c, part, copper, a, b, ohms);
        circuit_subject(c, e, h->subject);
        add_piece(body, a, b, ohms, h->volts * share * s->t->rated / s->w->line);
        if (i) to = inside;
        else from = inside;
    }
    int e = circuit_winding(c, part, role, s->number, from, to,
                            h->volts * share / (s->w->line * s->share));
    circuit_subject(c, e, h->subject);
    return e;
}

/* Ohms between the ends of a broken wire: they keep its volts defined. */
#define BREAK 1e9

/* Between a fault's point and where it leads: its contact. */
static void stamp_contact(struct stamping *s, int from, int to)
{
    circuit_resistor(s->set->circuit, s->part->name, "contact", from, to, s->t->fault.contact);
}

/* A half that the fault cuts in two at `place`, counted from its first point. Shorted turns are the
 * piece at the tap, or at the last end. */
static int stamp_faulty(struct stamping *s, int i, const char *role)
{
    const struct fault *f = &s->t->fault;
    const struct half *h = &s->w->half[i];
    struct circuit *c = s->set->circuit;
    const char *rest = arena_printf(s->set->arena, "%s beyond the fault", role);
    bool shorted = f->kind == FAULT_SHORTED_TURNS;
    double place = !shorted ? f->place : i ? f->turns : 1 - f->turns;
    int middle = place <= 0   ? h->from
                 : place >= 1 ? h->to
                              : circuit_inner(c, s->part->name, "fault"),
        e = -1;
    if (place > 0)
        e = stamp_turns(s, i, role, h->from, middle, place, shorted && i ? &s->turns : &s->copper);
    if (place < 1) {
        int last = stamp_turns(s, i, rest, middle, h->to, 1 - place,
                               shorted && !i ? &s->turns : &s->copper);
        if (e < 0 || (i && shorted)) e = last;
    }
    stamp_contact(s, middle, !shorted ? f->to : i ? h->from : h->to);
    return e;
}

/* A broken half: its turns behind a break, which carries nothing and has nothing to warm. */
static int stamp_broken(struct stamping *s, int i, const char *role)
{
    const struct half *h = &s->w->half[i];
    struct circuit *c = s->set->circuit;
    int inside = circuit_inner(c, s->part->name, "break");
    circuit_resistor(c, s->part->name, "break", i ? inside : h->from, i ? h->to : inside, BREAK);
    return circuit_winding(c, s->part->name, role, s->number, i ? h->from : inside,
                           i ? inside : h->to, h->volts / (s->w->line * s->share));
}

static void stamp_half(struct stamping *s, int i)
{
    const struct fault *f = &s->t->fault;
    const struct half *h = &s->w->half[i];
    const char *role = arena_printf(s->set->arena, "%s %d", s->w->name, i + 1);
    bool here = f->kind && s->w == &s->t->winding[f->winding] && i == f->half;
    int e = !here                        ? stamp_turns(s, i, role, h->from, h->to, 1, &s->copper)
            : f->kind == FAULT_HALF_OPEN ? stamp_broken(s, i, role)
                                         : stamp_faulty(s, i, role);
    kind_probe_volts(s->set, h->subject, h->from, h->to, PROBE_WINDING);
    kind_probe_amperes(s->set, h->subject, PROBE_WINDING, &e, 1);
    if (s->w->rated > 0)
        set_rate(s->set, (struct rating){.subject = h->subject,
                                         .measure = MEASURE_RMS_CURRENT,
                                         .limit = s->w->rated,
                                         .source = "scenario",
                                         .system = "",
                                         .harm = HARM_WINDING_CURRENT});
}

static void stamp_winding(struct stamping *s, struct heating *h)
{
    s->copper = (struct copper){.role = s->w->name};
    s->turns = (struct copper){.role = "shorted turns"};
    for (int i = 0; i < s->w->halves; i++) stamp_half(s, i);
    struct body body = {.device = -1};
    if (transformer_feeds_plates(s->t, s->w))
        body = transformer_warm_winding(s->set, s->part, h, &s->copper);
    transformer_warm_turns(s->set, s->part, h, &s->turns, &s->copper, &body);
}

void transformer_stamp(struct set *set, struct part *part)
{
    struct transformer *t = part->data;
    double va = transformer_guess(set, part, t);
    struct stamping s = {.set = set, .part = part, .t = t};
    s.number = circuit_transformer(set->circuit);
    struct heating h = transformer_heating(set, part, t, va);
    stamp_primary(set, part, t, &h, s.number);
    s.share = idle_share(t);
    for (int k = 0; k < t->windings; k++) {
        s.w = &t->winding[k];
        stamp_winding(&s, &h);
    }
}
