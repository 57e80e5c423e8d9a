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

struct handmade supply_new(const struct supply *s)
{
    struct handmade h = handmade_new(s->frequency);
    const char *load = s->load ? s->load : "+", *other = s->kind == SUPPLY_BRIDGE ? "b" : "0";
    hand_sine(&h, "S", "a", other, s->peak, s->degrees);
    const char *plate = with_resistance(&h, s, "Rs", "a", "p");
    rectifier(&h, s, "D1", plate, "+");
    if (s->kind == SUPPLY_CENTRE_TAP) {
        hand_sine(&h, "S2", "b", "0", -s->peak, s->degrees);
        rectifier(&h, s, "D2", with_resistance(&h, s, "Rs2", "b", "q"), "+");
    } else if (s->kind == SUPPLY_BRIDGE) {
        rectifier(&h, s, "D2", "b", "+");
        rectifier(&h, s, "D3", "0", "b");
        rectifier(&h, s, "D4", "0", plate);
    }
    if (s->farads > 0) hand_c(&h, "C", "+", "0", s->farads, s->initial);
    if (s->ohms > 0) hand_r(&h, "R", load, "0", s->ohms);
    hand_watch(&h, "+");
    if (s->farads > 0) hand_watch_current(&h, "C");
    hand_watch_current(&h, "S");
    return h;
}

double supply_farads(double wcr, double frequency, double ohms)
{
    return wcr / (2 * PI * frequency * ohms);
}

const struct result *supply_run_settled(struct supply s, double seconds, int cycles,
                                        struct handmade *h)
{
    double volts[2];
    *h = supply_new(&s);
    hand_sample(h, "+", seconds, volts, 2);
    hand_run(h, seconds);
    handmade_free(h);
    s.initial = volts[1];
    *h = supply_new(&s);
    return hand_run(h, cycles / s.frequency);
}
