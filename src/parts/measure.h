/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_MEASURE_H
#define PRESOLDER_MEASURE_H

#include <stdbool.h>

#include "circuit.h"
#include "quantity.h"

/* Everything that is known of a measure: one row each. A row names the measure, as `figures.csv`
 * and wishes write it, its unit and its words; then what else holds of it, by field of
 * `struct measure_row` (absent: 0). Among measures of one kind of subject `compare` keeps the order
 * of this table. */
#define MEASURE_ROWS(X)                                                                            \
    X(SETTLED_VOLTAGE, "settled-voltage", UNIT_VOLT, "voltage", .at_end = true,                    \
      .moved_by = EFFECT_VOLTS, .view = VIEW_MEAN, .probe = PROBE_CAPACITOR, .least_seconds = 30,  \
      .head = "voltage", .panel = PANEL_VOLTS, .compared = COMPARED_POINT, .better = BETTER_CHART, \
      .range = RANGE_DC)                                                                           \
    X(SETTLED, "settled", UNIT_NUMBER, "settled", .moved_by = EFFECT_VOLTS)                        \
    X(RIPPLE_RMS, "ripple-rms", UNIT_VOLT, "RMS ripple", .moved_by = EFFECT_RIPPLE,                \
      .head = "ripple RMS", .panel = PANEL_RIPPLE, .compared = COMPARED_POINT,                     \
      .better = BETTER_LESS, .range = RANGE_AC)                                                    \
    X(RIPPLE_PP, "ripple-pp", UNIT_VOLT, "ripple p-p", .moved_by = EFFECT_RIPPLE,                  \
      .range = RANGE_AC)                                                                           \
    X(RIPPLE_FREQUENCY, "ripple-frequency", UNIT_HERTZ, "ripple frequency",                        \
      .moved_by = EFFECT_NONE)                                                                     \
    X(HIGHEST_VOLTAGE, "highest-voltage", UNIT_VOLT, "highest voltage",                            \
      .moved_by = EFFECT_VOLTS | EFFECT_RACE, .view = VIEW_EITHER, .probe = PROBE_CAPACITOR,       \
      .restart = RESTART_TOO, .head = "highest volts", .compared = COMPARED_CAPACITOR)             \
    X(LOWEST_VOLTAGE, "lowest-voltage", UNIT_VOLT, "lowest voltage",                               \
      .moved_by = EFFECT_VOLTS | EFFECT_RACE, .view = VIEW_LOWEST, .probe = PROBE_CAPACITOR)       \
    X(RMS_VOLTAGE, "rms-voltage", UNIT_VOLT, "RMS voltage", .at_end = true,                        \
      .moved_by = EFFECT_VOLTS, .view = VIEW_RMS, .least_seconds = 35, .range = RANGE_AC)          \
    X(RMS_CURRENT, "rms-current", UNIT_AMPERE, "RMS current", .at_end = true,                      \
      .moved_by = EFFECT_PEAK, .view = VIEW_RMS, .least_seconds = 60, .head = "RMS",               \
      .panel = PANEL_WINDING, .compared = COMPARED_CAPACITOR | COMPARED_WINDING)                   \
    X(RUNNING_PEAK_CURRENT, "running-peak-current", UNIT_AMPERE, "running peak", .at_end = true,   \
      .moved_by = EFFECT_PEAK, .view = VIEW_HIGHEST, .probe = PROBE_RECTIFIER,                     \
      .least_seconds = MEASURE_SHORTEST, .head = "running peak", .panel = PANEL_PEAKS,             \
      .compared = COMPARED_RECTIFIER)                                                              \
    X(INRUSH_PEAK_CURRENT, "inrush-peak-current", UNIT_AMPERE, "first peak",                       \
      .moved_by = EFFECT_PEAK, .restart = RESTART_FOREMOST, .head = "hot", .panel = PANEL_PEAKS,   \
      .compared = COMPARED_RECTIFIER)                                                              \
    X(PEAK_DURATION, "peak-duration", UNIT_SECOND, "peak duration", .moved_by = EFFECT_PEAK,       \
      .restart = RESTART_TOO, .head = "its length")                                                \
    X(PEAK_I2T, "peak-i2t", UNIT_I2T, "first peak's I2t", .moved_by = EFFECT_PEAK,                 \
      .restart = RESTART_TOO, .head = "its I2t")                                                   \
    X(AVERAGE_CURRENT, "average-current", UNIT_AMPERE, "average current", .at_end = true,          \
      .moved_by = EFFECT_VOLTS, .view = VIEW_MEAN, .least_seconds = 5, .head = "mean",             \
      .compared = COMPARED_RECTIFIER)                                                              \
    X(INVERSE_VOLTAGE, "inverse-voltage", UNIT_VOLT, "inverse voltage",                            \
      .moved_by = EFFECT_VOLTS | EFFECT_RACE, .view = VIEW_HIGHEST, .probe = PROBE_RECTIFIER,      \
      .restart = RESTART_TOO, .head = "inverse voltage", .compared = COMPARED_RECTIFIER)           \
    X(HIGHEST_CURRENT, "highest-current", UNIT_AMPERE, "highest current",                          \
      .moved_by = EFFECT_PEAK | EFFECT_LINE, .restart = RESTART_TOO)                               \
    X(DISSIPATION, "dissipation", UNIT_WATT, "heat", .at_end = true, .moved_by = EFFECT_HEAT,      \
      .view = VIEW_MEAN, .least_seconds = 5, .compared = COMPARED_RESISTOR)                        \
    X(ENERGY, "energy", UNIT_JOULE, "energy", .moved_by = EFFECT_HEAT)                             \
    X(TEMPERATURE, "temperature", UNIT_CELSIUS, "temperature", .moved_by = EFFECT_WARMTH,          \
      .view = VIEW_KELVIN)                                                                         \
    X(TIME_TO_LIMIT, "time-to-limit", UNIT_SECOND, "time to limit", .moved_by = EFFECT_VOLTS)      \
    X(LINE_CURRENT, "line-current", UNIT_AMPERE, "line current", .words_uk = "mains current",      \
      .at_end = true, .moved_by = EFFECT_LINE, .view = VIEW_RMS, .probe = PROBE_LINE,              \
      .least_seconds = 60, .compared = COMPARED_MAINS)                                             \
    X(LINE_POWER, "line-power", UNIT_WATT, "line power", .words_uk = "mains power",                \
      .at_end = true, .moved_by = EFFECT_LINE, .view = VIEW_MEAN, .probe = PROBE_LINE,             \
      .least_seconds = 60, .compared = COMPARED_MAINS)                                             \
    X(SUPPLY_IMPEDANCE, "supply-impedance", UNIT_OHM, "supply impedance", .stand_in = true,        \
      .moved_by = EFFECT_VOLTS)                                                                    \
    X(FIRST_CAPACITOR, "first-capacitor", UNIT_FARAD, "first capacitor", .words_uk = "reservoir",  \
      .stand_in = true, .moved_by = EFFECT_NONE)                                                   \
    X(STORED_ENERGY, "stored-energy", UNIT_JOULE, "stored energy", .moved_by = EFFECT_VOLTS)       \
    X(BLEED_DOWN_TIME, "bleed-down-time", UNIT_SECOND, "bleed down time",                          \
      .moved_by = EFFECT_DECAY)                                                                    \
    X(BLEED_TO_50V_TIME, "bleed-to-50V-time", UNIT_SECOND, "bleed to 50V time",                    \
      .moved_by = EFFECT_DECAY)                                                                    \
    X(SETTLING_TIME, "settling-time", UNIT_SECOND, "settling time", .moved_by = EFFECT_VOLTS)      \
    X(OPENS_AT, "opens-at", UNIT_SECOND, "opens at", .moved_by = EFFECT_VOLTS,                     \
      .restart = RESTART_TOO)                                                                      \
    X(SHORTS_AT, "shorts-at", UNIT_SECOND, "shorts at", .moved_by = EFFECT_VOLTS)                  \
    X(FLAT_TOP_VOLTAGE, "flat-top-voltage", UNIT_VOLT, "flat top voltage",                         \
      .moved_by = EFFECT_VOLTS)                                                                    \
    X(OVERSHOOT_VOLTAGE, "overshoot-voltage", UNIT_VOLT, "overshoot voltage",                      \
      .moved_by = EFFECT_PEAK)                                                                     \
    X(OVERSHOOT_SHARE, "overshoot-share", UNIT_NUMBER, "overshoot share", .moved_by = EFFECT_PEAK) \
    X(CONTACT_PEAK_CURRENT, "contact-peak-current", UNIT_AMPERE, "contact peak current",           \
      .moved_by = EFFECT_PEAK | EFFECT_LINE)                                                       \
    X(MAKE_CURRENT, "make-current", UNIT_AMPERE, "make current",                                   \
      .moved_by = EFFECT_PEAK | EFFECT_LINE)                                                       \
    X(BREAK_CURRENT, "break-current", UNIT_AMPERE, "break current", .moved_by = EFFECT_LINE)       \
    X(LEAPS, "leaps", UNIT_NUMBER, "leaps", .moved_by = EFFECT_VOLTS)                              \
    X(CYCLES_LEAPT, "cycles-leapt", UNIT_NUMBER, "cycles leapt", .moved_by = EFFECT_VOLTS)         \
    X(INTERRUPTED_AT, "interrupted-at", UNIT_SECOND, "interrupted at", .moved_by = EFFECT_VOLTS)   \
    X(AUDIT_ENERGY, "audit-energy", UNIT_NUMBER, "energy audit", .moved_by = EFFECT_NONE,          \
      .restart = RESTART_TOO)                                                                      \
    X(AUDIT_CHARGE, "audit-charge", UNIT_NUMBER, "charge audit", .moved_by = EFFECT_NONE,          \
      .restart = RESTART_TOO)

/* MEASURE_NONE has no row: what was asked for has no such name. */
#define X(id, ...) MEASURE_##id,
enum measure { MEASURE_NONE, MEASURE_ROWS(X) MEASURES };
#undef X

/* What a guess can move. */
enum measure_effect {
    EFFECT_NONE = 0,
    EFFECT_VOLTS = 1,   /* volts and mean currents */
    EFFECT_RIPPLE = 2,  /* ripple */
    EFFECT_PEAK = 4,    /* peaks and RMS of pulsed currents */
    EFFECT_LINE = 8,    /* what the line gives */
    EFFECT_HEAT = 16,   /* watts */
    EFFECT_WARMTH = 32, /* temperatures */
    EFFECT_DECAY = 64,  /* times to bleed down */
    EFFECT_RACE = 128   /* extremes while the tubes warm up */
};

/* Whether the few cycles of a hot restart can show it. */
enum measure_restart {
    RESTART_NO,
    RESTART_TOO,
    RESTART_FOREMOST /* `compare` shows that of the restart, not that of the run */
};

/* How a rating of it is held against each cycle of a run. A least limit is followed by VIEW_LOWEST
 * alone, an upper one by all others. */
enum measure_view {
    VIEW_NONE, /* it is not followed */
    VIEW_MEAN,
    VIEW_RMS,
    VIEW_HIGHEST,
    VIEW_LOWEST,
    VIEW_EITHER, /* the highest magnitude */
    VIEW_KELVIN  /* of a temperature, at the end of the cycle */
};

/* The plot of several trials in which it is drawn. */
enum measure_panel { PANEL_NONE, PANEL_VOLTS, PANEL_RIPPLE, PANEL_PEAKS, PANEL_WINDING };

/* Subjects of which `compare` always shows it, in the order of its table. */
enum measure_compared {
    COMPARED_POINT = 1, /* with direct volts; columns of `try` as well */
    COMPARED_CAPACITOR = 2,
    COMPARED_RECTIFIER = 4,
    COMPARED_WINDING = 8,
    COMPARED_RESISTOR = 16,
    COMPARED_MAINS = 32
};

/* What counts as better where it has no rating. */
enum measure_better { BETTER_NEITHER, BETTER_LESS, BETTER_CHART /* nearer to the chart */ };

/* The range of a meter it is read on; the first row of a range is what the meter shows of a
 * point. */
enum measure_range { RANGE_NONE, RANGE_DC, RANGE_AC };

/* Least for charging pulses, and for whatever goes on to the end of the run [s]. */
#define MEASURE_SHORTEST 0.25

struct measure_row {
    const char *name;     /* in figures.csv and wishes */
    enum unit unit;       /* of figures, ratings and wishes */
    const char *words;    /* in sentences and tables: ask measure_words */
    const char *words_uk; /* in those of the UK; NULL: the same */
    bool at_end;   /* of the last cycles: meets the ratings of the stage in which the run ends */
    bool stand_in; /* of the data sheet, for peak currents; known before any run */
    unsigned moved_by; /* enum measure_effect, several joined */
    enum measure_restart restart;
    enum measure_view view;
    unsigned probe; /* flag of the probe that a rating is held against; 0: any. Watts are PROBE_LINE
                       or those of a part */
    /* An excess that has ended before the run and lasted less is normal, or has ratings of its own
     * (hot switching) [s]: charging pulses and the swing of a switch-on last some cycles; a plate
     * or a resistor must warm before its watts tell; heaters of a string share the line unequally
     * until all are warm; the current of a winding is rated by the heat it makes in minutes, and
     * what that does is told by its temperature (common practice, no source). For half a minute a
     * capacitor may stand above its working volts as long as its surge rating holds (IEC 60384-4,
     * surge: 30 s at a time, from memory). 0: it counts from the first cycle on. */
    double least_seconds;
    const char *head; /* over its column in `try`, behind the subject; NULL: it has none */
    enum measure_panel panel;
    unsigned compared; /* enum measure_compared, several joined */
    enum measure_better better;
    enum measure_range range;
};

/* By `enum measure`; that of MEASURE_NONE has empty texts. */
extern const struct measure_row measure_table[MEASURES];

/* Its words, as the scenario wants them. */
const char *measure_words(enum measure measure);

/* The measure of that name; MEASURE_NONE: there is none. */
enum measure measure_find(const char *name);

/* What a meter on that range shows of a point. */
enum measure measure_on(enum measure_range range);

#endif
