/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The texts, and the rule of each. Most are what every shop tells its apprentices and have no
 * source that could be named. */
#include "cautions.h"

#include <assert.h>

#define CUSTOM "common practice, no source"
#define RECALLED " (from memory)"

/* --- rules --- */

static bool power_on(const struct hazards *h)
{
    return (h->occasion & OCCASION_POWER) && (h->mains || h->lethal);
}

static bool always(const struct hazards *h)
{
    return h->mains || h->lethal;
}

static bool lethal(const struct hazards *h)
{
    return h->lethal;
}

static bool charged(const struct hazards *h)
{
    return h->lethal && h->keeps_charge;
}

static bool mains(const struct hazards *h)
{
    return h->mains;
}

static bool hot_chassis(const struct hazards *h)
{
    return h->hot_chassis;
}

static bool socket(const struct hazards *h)
{
    return h->tube_rectifier && h->lethal;
}

static bool two_plates(const struct hazards *h)
{
    return h->two_plates && h->lethal;
}

static bool field_coil(const struct hazards *h)
{
    return h->field_coil && h->lethal;
}

static bool insulated_can(const struct hazards *h)
{
    return h->insulated_can;
}

static bool selenium(const struct hazards *h)
{
    return h->selenium;
}

static bool mercury(const struct hazards *h)
{
    return h->mercury;
}

static bool oil_capacitor(const struct hazards *h)
{
    return h->oil_capacitor;
}

static bool line_cord(const struct hazards *h)
{
    return h->line_cord;
}

static bool line_capacitor(const struct hazards *h)
{
    return h->line_capacitor && h->mains;
}

static bool bare_series(const struct hazards *h)
{
    return h->bare_series;
}

static bool vibrator(const struct hazards *h)
{
    return h->vibrator;
}

static bool reforming(const struct hazards *h)
{
    return h->occasion & OCCASION_REFORM;
}

static bool chassis_test(const struct hazards *h)
{
    return (h->occasion & OCCASION_CHASSIS) && h->mains;
}

/* --- the list --- */

static const struct caution list[] = {
    {"Rules", "Local codes and licensed practice go first; nothing here takes their place.", CUSTOM,
     always},
    {"Unplugged is not dead",
     "The voltages in this set can kill, and its capacitors keep them with the plug out; charge "
     "also creeps back into a capacitor that was emptied.",
     "DOE-HDBK-1092-2004, 10.10.1.1: capacitors hold charge and gather it again; danger counted "
     "from 50 V: OSHA 29 CFR 1910 subpart S" RECALLED,
     lethal},
    {"Discharge",
     "Before a hand goes in: plug out, then empty every filter capacitor through a resistor, "
     "never a screwdriver: 10 kohm, wirewound, 5 W, rated for the voltage (500 V), held on for "
     "30 s. Read with the meter: under 30 V. Wait, and read again.",
     CUSTOM "; 30 s are five time constants of 10 kohm and 600 uF (derived)", charged},
    {"First power",
     "Never alone, never with the set left alone: one hand in the pocket, eye protection on, "
     "the switch at arm's length. Off at once when rectifier plates turn red, at smoke, at a hot "
     "can or a hum that swells.",
     CUSTOM, power_on},
    {"Fire",
     "An old part could set fire to wax, cloth and cabinet. Power it on a surface that does not "
     "burn, with an extinguisher for live equipment within reach.",
     CUSTOM, power_on},
    {"No isolation",
     "A variable transformer does not isolate, and a series lamp stops no shock: both only limit "
     "volts or current.",
     CUSTOM, mains},
    {"Live chassis",
     "The chassis or B- of this set may be joined to the line, straight or through its rectifier "
     "and capacitors, one way round of the plug or the other, and through cold heaters even when "
     "it is switched off. Feed it through an isolating "
     "transformer; never earth it, and let no earthed instrument or other earthed metal near "
     "it. Behind that transformer a ground-fault breaker does not trip.",
     CUSTOM, hot_chassis},
    {"Rectifier socket",
     "The rectifier's socket stands at B+, and so does the 5 V winding of a tube whose cathode "
     "is its filament. With the rectifier out, the socket still carries the AC of the plates.",
     CUSTOM, socket},
    {"Plate to plate",
     "Read each plate to the centre tap, never plate to plate: twice the volts, beyond many "
     "meters and leads.",
     CUSTOM, two_plates},
    {"Speaker plug",
     "The plug of a field-coil speaker carries B+. Never run the set with it out: the first "
     "capacitor then sees the full peak, and a field coil that is opened kicks.",
     CUSTOM, field_coil},
    {"Insulated cans",
     "A capacitor here has its negative off the chassis: its bare can stands at that voltage, "
     "and its insulating washer and sleeve must stay.",
     CUSTOM, insulated_can},
    {"Selenium",
     "Fumes of a burning selenium rectifier are poisonous: at a smell of rotten vegetables "
     "switch off, leave and air the room. Do not file, burn or open it.",
     CUSTOM, selenium},
    {"Mercury",
     "The rectifier holds mercury (82, 83, 866 and their like): do not break it; if it breaks, "
     "air the room, never sweep or vacuum, and take it to a hazardous-waste site.",
     CUSTOM, mercury},
    {"Oil capacitors",
     "Old oil-filled and wax-paper blocks can hold PCB: do not open or heat them, wear gloves "
     "when one leaks, and take them to a hazardous-waste site.",
     "PCB disposal: 40 CFR part 761" RECALLED, oil_capacitor},
    {"Resistance cord",
     "Resistance line cords and ballasts run hot and can hold asbestos: do not strip, sand or cut "
     "one, and never shorten it, which also lowers its resistance.",
     CUSTOM, line_cord},
    {"Line capacitors",
     "Between the lines only capacitors rated X belong, from line to chassis or earth only Y; old "
     "ones could burst or put the line on the chassis.",
     "classes X and Y: IEC 60384-14" RECALLED, line_capacitor},
    {"Capacitors in series",
     "Never without a resistor across each: the one that leaks less could take nearly the whole "
     "voltage. Mind the resistors' own voltage rating.",
     CUSTOM, bare_series},
    {"Vibrator", "Cleaned or tested from the line, the can of a vibrator may be live.", CUSTOM,
     vibrator},
    {"Re-forming",
     "The supply must be current-limited and can still kill. Eye protection on; a part that turns "
     "warm is not re-forming but failing: stop.",
     CUSTOM, reforming},
    {"Chassis test",
     "Measure with the set alone on its insulated bench, both ways round of the plug, one hand "
     "only; treat the chassis as live until the reading says otherwise.",
     CUSTOM, chassis_test},
};

int cautions_count(void)
{
    return (int)(sizeof list / sizeof list[0]);
}

const struct caution *caution_at(int i)
{
    assert(i >= 0 && i < cautions_count());
    return &list[i];
}

int caution_next(const struct hazards *h, int after)
{
    for (int i = after + 1; i < cautions_count(); i++)
        if (list[i].applies(h)) return i;
    return -1;
}
