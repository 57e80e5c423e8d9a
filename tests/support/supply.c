/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names of points and parts are fixed, so that tests may look figures up. */
#include "supply.h"

#include "numbers.h"

static const char *with_resistance(struct handmade *h, const struct supply *s, const char *name,
                                   const char *from, const char *to)
{
    if (!(s->source > 0)) return from;
    hand_r(h, name, from, to, s->source);
    return to;
}

static void rectifier(struct handmade *h, const struct supply *s, const char *name,
                      const char *plate, const char *cathode)
{
    if (s->perveance > 0) hand_tube(h, name, plate, cathode, s->perveance);
    else hand_diode(h, name, plate, cathode, s->drop, 0);
}

static void sources_and_rectifiers(struct handmade *h, const struct supply *s)
{
    hand_sine(h, "S", "a", s->kind == SUPPLY_BRIDGE ? "b" : "0", s->peak, s->degrees);
    const char *plate = with_resistance(h, s, "Rs", "a", "p");
    rectifier(h, s, "D1", plate, "+");
    if (s->kind == SUPPLY_CENTRE_TAP) {
        hand_sine(h, "S2", "b", "0", -s->peak, s->degrees);
        rectifier(h, s, "D2", with_resistance(h, s, "Rs2", "b", "q"), "+");
    } else if (s->kind == SUPPLY_BRIDGE) {
        rectifier(h, s, "D2", "b", "+");
        rectifier(h, s, "D3", "0", "b");
        rectifier(h, s, "D4", "0", plate);
    }
    hand_watch(h, "+");
    hand_watch_current(h, "S");
}

static void choke(struct handmade *h, const struct supply *s)
{
    hand_l(h, "L", "+", s->choke > 0 ? "x" : "B+", s->henries, s->amperes);
    if (s->choke > 0) hand_r(h, "RL", "x", "B+", s->choke);
    if (s->farads2 > 0) hand_c(h, "C2", "B+", "0", s->farads2, s->initial2);
    hand_watch(h, "B+");
    hand_watch_current(h, "L");
    hand_watch_backwards(h, "L");
}

struct handmade supply_new(const struct supply *s)
{
    struct handmade h = handmade_new(s->frequency);
    sources_and_rectifiers(&h, s);
    if (s->farads > 0) {
        hand_c(&h, "C", "+", "0", s->farads, s->initial);
        hand_watch_current(&h, "C");
    }
    if (s->henries > 0) choke(&h, s);
    const char *load = s->load ? s->load : s->henries > 0 ? "B+" : "+";
    if (s->ohms > 0) hand_r(&h, "R", load, "0", s->ohms);
    return h;
}

double supply_farads(double wcr, double frequency, double ohms)
{
    return wcr / (2 * PI * frequency * ohms);
}

const struct result *supply_run_settled(struct supply s, double seconds, int cycles,
                                        struct handmade *h)
{
    double first[2] = {0}, second[2] = {0}, coil[2] = {0};
    *h = supply_new(&s);
    if (s.farads > 0) hand_sample(h, "+", seconds, first, 2);
    if (s.farads2 > 0) hand_sample(h, "B+", seconds, second, 2);
    if (s.henries > 0) hand_sample_current(h, "L", seconds, coil, 2);
    hand_run(h, seconds);
    handmade_free(h);
    s.initial = first[1];
    s.initial2 = second[1];
    s.amperes = coil[1];
    *h = supply_new(&s);
    return hand_run(h, cycles / s.frequency);
}
