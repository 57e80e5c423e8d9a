/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_exercise.h"

#include <assert.h>
#include <stddef.h>

static const char *const classes[EXERCISE_CLASSES] = {
    [EXERCISE_PAPER] = "on paper only",
    [EXERCISE_DEAD] = "in a dead set, with the ohmmeter",
    [EXERCISE_LIVE] = "under power, the trainer present",
};

static const struct tongue how[EXERCISE_CLASSES] = {
    [EXERCISE_PAPER] = EITHER("Never build this fault into a set."),
    [EXERCISE_DEAD] =
        US_UK_ROW("Build it into a set only with the line cord taken off. Capacitors "
                  "discharged, and checked with the meter.",
                  "Build it into a set only with the mains lead taken off. Capacitors "
                  "discharged, and checked with the meter."),
    [EXERCISE_LIVE] =
        EITHER("Only on an isolation transformer, with a series lamp and a fuse of the right size, "
               "and only with the trainer beside it. One hand, clips put on with the power off."),
};

#define LIVE_ON_BATTERY                                                                            \
    US_UK("Only from a supply with a current limit and a fuse in its lead, and only with the "     \
          "trainer beside it. The B+ can kill all the same: one hand, clips put on with the "      \
          "power off.",                                                                            \
          "Only from a supply with a current limit and a fuse in its lead, and only with the "     \
          "trainer beside it. The HT can kill all the same: one hand, clips put on with the "      \
          "power off.")

static const struct tongue reasons[EXERCISE_REASONS] = {
    [EXERCISE_BURNS] = EITHER("under power it can burn windings or the rectifier within minutes"),
    [EXERCISE_BURSTS] = EITHER("under power the capacitor can heat until it vents or bursts"),
    [EXERCISE_SHOCK] = EITHER("it leaves voltage where nobody expects it"),
    [EXERCISE_FIRE] = EITHER("what should open in a fault does not: it can start a fire"),
    [EXERCISE_OVERVOLTS] = EITHER("under power capacitors can go over their rated voltage"),
    [EXERCISE_OVERLOAD] = US_UK_ROW("under power tubes or windings can run over their rating",
                                    "under power valves or windings can run over their rating"),
    [EXERCISE_OHMS] = EITHER("an ohmmeter finds it, so there is no reason for power"),
    [EXERCISE_GENTLE] = EITHER("no part suffers from it during a reading, and only power shows it"),
};

enum { DOWN, UP };

/* Why a reading went down or up. NULL: nothing that holds in general. */
static const struct tongue why[EXERCISE_EFFECTS][EXERCISE_WHATS][2] = {
    [EXERCISE_STORES_LESS] =
        {
            [EXERCISE_DC] =
                {EITHER("less charge is stored, so the voltage sags further between pulses"), {0}},
            [EXERCISE_RIPPLE] =
                {EITHER("less ripple current comes here"),
                 EITHER("less charge is stored: the voltage swings further with every pulse")},
            [EXERCISE_LINE] = {US_UK_ROW("lower voltage, so the tubes draw less",
                                         "lower voltage, so the valves draw less"),
                               EITHER("the charging pulses have another shape")},
        },
    [EXERCISE_DRAWS_MORE] =
        {
            [EXERCISE_DC] =
                {EITHER("more current flows through all that lies before this point, and more "
                        "voltage is lost on the way"),
                 EITHER(
                     "more current flows through what lies between this point and the reference")},
            [EXERCISE_RIPPLE] =
                {EITHER("so little voltage is left that hardly any of it is ripple"),
                 EITHER("more current is drawn between pulses: the voltage falls further")},
            [EXERCISE_LINE] = {{0},
                               US_UK_ROW("all that is drawn more comes from the line",
                                         "all that is drawn more comes from the mains")},
            [EXERCISE_HEATER] =
                {EITHER("the higher current loses more in the primary, which all windings share"),
                 {0}},
        },
    [EXERCISE_DRAWS_LESS] =
        {
            [EXERCISE_DC] =
                {EITHER(
                     "less current flows through what lies between this point and the reference"),
                 EITHER("less current flows, so less voltage is lost on the way here")},
            [EXERCISE_RIPPLE] = {EITHER("less current is drawn between pulses"), {0}},
            [EXERCISE_LINE] = {US_UK_ROW("what is not drawn does not come from the line",
                                         "what is not drawn does not come from the mains"),
                               {0}},
            [EXERCISE_HEATER] = {{0},
                                 EITHER("less current in the primary, which all windings share")},
        },
    [EXERCISE_LESS_COMES] =
        {
            [EXERCISE_DC] = {EITHER("less comes in, whatever the filter does"), {0}},
            [EXERCISE_RIPPLE] =
                {US_UK_ROW("the tubes draw less, and ripple goes with the current",
                           "the valves draw less, and ripple goes with the current"),
                 EITHER("the capacitor must last longer until the next pulse, or AC gets through")},
            [EXERCISE_LINE] = {US_UK_ROW("less is passed on, so less comes from the line",
                                         "less is passed on, so less comes from the mains"),
                               EITHER("the fault itself takes power")},
            [EXERCISE_HEATER] = {EITHER("less comes from this transformer"),
                                 EITHER("less current in the primary, which all windings share")},
        },
    [EXERCISE_MORE_OHMS] =
        {
            [EXERCISE_DC] =
                {EITHER("it lies after the higher resistance, which takes its share"),
                 EITHER("it lies before the higher resistance: less current is drawn from it")},
            [EXERCISE_RIPPLE] =
                {EITHER("less current flows, and the higher resistance holds ripple back"), {0}},
            [EXERCISE_LINE] = {US_UK_ROW("less current can flow, so less comes from the line",
                                         "less current can flow, so less comes from the mains"),
                               {0}},
            [EXERCISE_HEATER] = {EITHER("less current can flow"),
                                 EITHER("less current in the primary, which all windings share")},
        },
    [EXERCISE_FEWER_OHMS] =
        {
            [EXERCISE_DC] =
                {EITHER("more current is drawn from it: nothing holds it back"),
                 EITHER("what took its share of the voltage before this point is missing")},
            [EXERCISE_RIPPLE] = {EITHER("the capacitor after it now shares the work"),
                                 EITHER("what held the ripple back is missing")},
            [EXERCISE_LINE] =
                {EITHER("less is lost on the way"),
                 US_UK_ROW("higher voltage: the tubes draw more, and it comes from the line",
                           "higher voltage: the valves draw more, and it comes from the mains")},
            [EXERCISE_HEATER] = {EITHER("the higher current loses more in the primary"), {0}},
        },
    [EXERCISE_DARK] =
        {
            [EXERCISE_DC] = {EITHER("the rectifier is cold as well"),
                             US_UK_ROW(
                                 "cold tubes draw nothing, so the capacitors keep the crest",
                                 "cold valves draw nothing, so the capacitors keep the crest")},
            [EXERCISE_RIPPLE] = {US_UK_ROW("cold tubes draw nothing between pulses",
                                           "cold valves draw nothing between pulses"),
                                 {0}},
            [EXERCISE_LINE] = {US_UK_ROW("heaters and tubes draw nothing",
                                         "heaters and valves draw nothing"),
                               {0}},
            [EXERCISE_HEATER] = {EITHER("no current flows through the string"), {0}},
        },
};

const char *words_exercise_class(enum exercise_class class)
{
    assert((unsigned)class < EXERCISE_CLASSES);
    return classes[class];
}

const char *words_exercise_how(enum exercise_class class, bool battery)
{
    assert((unsigned)class < EXERCISE_CLASSES);
    return class == EXERCISE_LIVE && battery ? LIVE_ON_BATTERY : tongue_says(how[class]);
}

const char *words_exercise_reason(enum exercise_reason reason)
{
    assert((unsigned)reason < EXERCISE_REASONS);
    return tongue_says(reasons[reason]);
}

const char *words_exercise_why(enum exercise_effect effect, enum exercise_what what, bool up)
{
    assert((unsigned)effect < EXERCISE_EFFECTS && (unsigned)what < EXERCISE_WHATS);
    const char *text = tongue_says(why[effect][what][up ? UP : DOWN]);
    return text ? text : words_exercise_why_follows;
}
