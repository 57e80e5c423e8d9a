/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How far what is typed in may be off, by kind, make and key. Marks of a part are its maker's
 * tolerance; what is read is as good as the meter. Sources stand in the table; most are customary,
 * and say so. */
#include <string.h>

#include "uncertain_impl.h"

#define PART UNCERTAIN_TOLERANCE
#define READ UNCERTAIN_READING

static const char meter_ac[] = "AC volts of a multimeter, 3 %; from memory",
                  meter_dc[] = "DC volts of a multimeter, 2 %; from memory",
                  meter_watts[] = "a plug-in wattmeter, 5 %; from memory",
                  copper[] = "windings, 10 %; common practice, no source",
                  chart[] = "service charts hold within 20 %; from memory",
                  old[] = "-20 to +100 %, electrolytics as made until the fifties; from memory",
                  rectifiers[] = "20 % between two of one type; from memory",
                  band[] = "10 %, the silver band; IEC 60062, from memory";

static const struct uncertain_rule rules[] = {
    {"capacitor", "value", "dry", UNIT_FARAD, -0.2, 1, SPREAD_LOG, PART, TOGETHER_AGE,
     KNOWN_BY_CAPACITANCE_METER, old},
    {"capacitor", "value", "wet", UNIT_FARAD, -0.2, 1, SPREAD_LOG, PART, TOGETHER_AGE,
     KNOWN_BY_CAPACITANCE_METER, old},
    {"capacitor", "value", "modern", UNIT_FARAD, -0.2, 0.2, SPREAD_EVEN, PART, TOGETHER_BATCH,
     KNOWN_BY_CAPACITANCE_METER, "20 %, Lelon RGA data sheet"},
    {"capacitor", "value", "film", UNIT_FARAD, -0.1, 0.1, SPREAD_EVEN, PART, TOGETHER_BATCH,
     KNOWN_BY_CAPACITANCE_METER, "10 %, from memory"},
    {"capacitor", "value", "paper", UNIT_FARAD, -0.2, 0.2, SPREAD_EVEN, PART, TOGETHER_AGE,
     KNOWN_BY_CAPACITANCE_METER, "20 %, from memory"},
    {"capacitor", "value now", NULL, UNIT_FARAD, -0.1, 0.1, SPREAD_EVEN, READ, TOGETHER_ALONE,
     KNOWN_BY_CAPACITANCE_METER, "a capacitance meter on a bad part, 10 %; from memory"},
    {"capacitor", "series resistance", NULL, UNIT_OHM, -0.3, 0.3, SPREAD_EVEN, PART, TOGETHER_BATCH,
     KNOWN_BY_RESISTANCE_METER, "it moves with warmth and age, 30 %; common practice, no source"},
    {"resistor", "resistance", NULL, UNIT_OHM, -0.1, 0.1, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_OHMS_ACROSS, band},
    {"choke", "resistance", NULL, UNIT_OHM, -0.1, 0.1, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_OHMS_COLD, copper},
    {"field coil", "resistance", NULL, UNIT_OHM, -0.1, 0.1, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_OHMS_COLD, copper},
    {"choke", "inductance", NULL, UNIT_HENRY, -0.2, 0.2, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_RIPPLE_RATIO, "20 %, with gap and iron; common practice, no source"},
    {"field coil", "inductance", NULL, UNIT_HENRY, -0.3, 0.3, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_RIPPLE_RATIO, "30 %, it depends on the current; common practice, no source"},
    {"power transformer", "resistance", NULL, UNIT_OHM, -0.1, 0.1, SPREAD_EVEN, PART,
     TOGETHER_ALONE, KNOWN_BY_OHMS_COLD, copper},
    {"power transformer", "open circuit", NULL, UNIT_VOLT, -0.03, 0.03, SPREAD_EVEN, READ,
     TOGETHER_AC, KNOWN_BY_VOLTS_TUBES_OUT, meter_ac},
    {"power transformer", "magnetising current", NULL, UNIT_AMPERE, -0.05, 0.05, SPREAD_EVEN, READ,
     TOGETHER_ALONE, KNOWN_BY_LINE_AMPERES_TUBES_OUT, "AC amperes, 5 %; from memory"},
    {"power transformer", "core loss", NULL, UNIT_WATT, -0.05, 0.05, SPREAD_EVEN, READ,
     TOGETHER_ALONE, KNOWN_BY_LINE_WATTS_TUBES_OUT, meter_watts},
    {"power transformer", "leakage inductance", NULL, UNIT_HENRY, -0.2, 0.2, SPREAD_EVEN, PART,
     TOGETHER_ALONE, KNOWN_BY_NOTHING, "20 %; common practice, no source"},
    {"rectifier", "perveance", NULL, UNIT_PERVEANCE, -0.2, 0.2, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_EMISSION_TEST, rectifiers},
    {"rectifier", "drop", NULL, UNIT_VOLT, -0.13, 0.13, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_EMISSION_TEST, rectifiers},
    {"rectifier", "starting voltage", NULL, UNIT_VOLT, -0.2, 0.1, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_NOTHING, "10 to 20 % between two of one type; from memory"},
    {"rectifier", "threshold", NULL, UNIT_VOLT, -0.1, 0.1, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_NOTHING, "diodes of one type, 10 %; from memory"},
    {"rectifier", "slope", NULL, UNIT_OHM, -0.3, 0.3, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_NOTHING, "diodes and stacks of one type, 30 %; from memory"},
    {"load", "draws", NULL, UNIT_AMPERE, -0.2, 0.2, SPREAD_EVEN, READ, TOGETHER_ALONE,
     KNOWN_BY_CHOKE_DROP, chart},
    {"load", "drop", NULL, UNIT_VOLT, -0.02, 0.02, SPREAD_EVEN, READ, TOGETHER_DC,
     KNOWN_BY_CHOKE_DROP, meter_dc},
    {"load", "at", NULL, UNIT_VOLT, -0.02, 0.02, SPREAD_EVEN, READ, TOGETHER_DC,
     KNOWN_BY_CHOKE_DROP, meter_dc},
    {"load", "resistance", NULL, UNIT_OHM, -0.2, 0.2, SPREAD_EVEN, READ, TOGETHER_ALONE,
     KNOWN_BY_CHOKE_DROP, chart},
    {"load", "perveance", NULL, UNIT_PERVEANCE, -0.2, 0.2, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_CATHODE_RESISTOR, rectifiers},
    {"load", "bias resistor", NULL, UNIT_OHM, -0.1, 0.1, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_CATHODE_RESISTOR, band},
    {"load", "grid resistor", NULL, UNIT_OHM, -0.1, 0.1, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_GRID_OHMS, band},
    {"heater", "rated", NULL, UNIT_AMPERE, -0.06, 0.06, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_NOTHING, "heaters of one type differ by 6 %; from memory"},
    {"lamp", "rated", NULL, UNIT_WATT, -0.06, 0.06, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_LAMP_OHMS, "lamps of one type differ by 6 %; from memory"},
    {"thermistor", "hot resistance", NULL, UNIT_OHM, -0.25, 0.25, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_DATA_SHEET, "25 %, from memory"},
    {"thermistor", "cold resistance", NULL, UNIT_OHM, -0.25, 0.25, SPREAD_EVEN, PART,
     TOGETHER_ALONE, KNOWN_BY_DATA_SHEET, "25 %, from memory"},
    {"battery", "voltage", NULL, UNIT_VOLT, -0.05, 0.05, SPREAD_EVEN, PART, TOGETHER_ALONE,
     KNOWN_BY_NOTHING, "a battery at work, 5 %; common practice, no source"},
};

const struct uncertain_rule *uncertain_table_rule(const char *kind, const char *make,
                                                  const char *key)
{
    for (size_t i = 0; i < sizeof rules / sizeof rules[0]; i++) {
        const struct uncertain_rule *r = &rules[i];
        if (strcmp(r->kind, kind) != 0 || strcmp(r->key, key) != 0) continue;
        if (!r->make || (make && strcmp(r->make, make) == 0)) return r;
    }
    return NULL;
}

/* Service voltage of ANSI C84.1 range A is 120 V +-5 %; IEC 60038 gives 230 V +-10 %. Both from
 * memory. A line outside was set on purpose. */
const char *uncertain_table_line(double volts, double frequency, double *low, double *high)
{
    static const struct {
        double hertz, low, high;
        const char *source;
    } lines[] = {
        {60, 114, 126,
         "114 to 126 V, ANSI C84.1 range A, where the supply enters the house; from memory"},
        {50, 207, 253, "230 V +-10 %, IEC 60038; from memory"},
    };
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++) {
        *low = lines[i].low, *high = lines[i].high;
        if (frequency == lines[i].hertz && volts >= *low && volts <= *high) return lines[i].source;
    }
    *low = 0.97 * volts, *high = 1.03 * volts;
    return "set by hand or from a battery, 3 %; common practice, no source";
}

bool uncertain_table_varies(const struct assumption *a)
{
    static const char *const limits[] = {
        "surge",     "rated", "ripple rating", "insulation class", "standard",
        "heated by", "for",   "winding",       "frequency"};
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++)
        if (strcmp(a->key, limits[i]) == 0) return false;
    /* A leakage that is laid would count as a bleeder (capacitor_leak_assumed). */
    return a->low < a->high && (a->guess || strcmp(a->key, "leakage") != 0);
}
