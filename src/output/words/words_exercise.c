/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_exercise.h"

#include <assert.h>
#include <stddef.h>

static const char *const classes[EXERCISE_CLASSES] = {
    [EXERCISE_PAPER] = "on paper only",
    [EXERCISE_DEAD] = "in a dead set, with the ohmmeter",
    [EXERCISE_LIVE] = "under power, the trainer present",
};

static const char *const how[EXERCISE_CLASSES] = {
    [EXERCISE_PAPER] = "Never build this fault into a set.",
    [EXERCISE_DEAD] =
        "Build it into a set only with the line cord taken off. Capacitors discharged, "
        "and checked with the meter.",
    [EXERCISE_LIVE] = "Only on an isolation transformer, with a series lamp and a fuse of the "
                      "right size, and only with the trainer beside it. One hand, clips put "
                      "on with the power off.",
};

static const char live_on_battery[] =
    "Only from a supply with a current limit and a fuse in its lead, and only with the trainer "
    "beside "
    "it. The B+ can kill all the same: one hand, clips put on with the power off.";

static const char *const reasons[EXERCISE_REASONS] = {
    [EXERCISE_BURNS] = "under power it can burn windings or the rectifier within minutes",
    [EXERCISE_BURSTS] = "under power the capacitor can heat until it vents or bursts",
    [EXERCISE_SHOCK] = "it leaves voltage where nobody expects it",
    [EXERCISE_FIRE] = "what should open in a fault does not: it can start a fire",
    [EXERCISE_OVERVOLTS] = "under power capacitors can go over their rated voltage",
    [EXERCISE_OVERLOAD] = "under power tubes or windings can run over their rating",
    [EXERCISE_OHMS] = "an ohmmeter finds it, so there is no reason for power",
    [EXERCISE_GENTLE] = "no part suffers from it during a reading, and only power shows it",
};

enum { DOWN, UP };

/* Why a reading went down or up. NULL: nothing that holds in general. */
static const char *const why[EXERCISE_EFFECTS][EXERCISE_WHATS][2] = {
    [EXERCISE_STORES_LESS] =
        {
            [EXERCISE_DC] = {"less charge is stored, so the voltage sags further between pulses",
                             NULL},
            [EXERCISE_RIPPLE] = {"less ripple current comes here",
                                 "less charge is stored: the voltage swings further with every "
                                 "pulse"},
            [EXERCISE_LINE] = {"lower voltage, so the tubes draw less",
                               "the charging pulses have another shape"},
        },
    [EXERCISE_DRAWS_MORE] =
        {
            [EXERCISE_DC] =
                {"more current flows through all that lies before this point, and more "
                 "voltage is lost on the way",
                 "more current flows through what lies between this point and the reference"},
            [EXERCISE_RIPPLE] = {"so little voltage is left that hardly any of it is ripple",
                                 "more current is drawn between pulses: the voltage falls further"},
            [EXERCISE_LINE] = {NULL, "all that is drawn more comes from the line"},
            [EXERCISE_HEATER] = {"the higher current loses more in the primary, which all windings "
                                 "share",
                                 NULL},
        },
    [EXERCISE_DRAWS_LESS] =
        {
            [EXERCISE_DC] =
                {"less current flows through what lies between this point and the reference",
                 "less current flows, so less voltage is lost on the way here"},
            [EXERCISE_RIPPLE] = {"less current is drawn between pulses", NULL},
            [EXERCISE_LINE] = {"what is not drawn does not come from the line", NULL},
            [EXERCISE_HEATER] = {NULL, "less current in the primary, which all windings share"},
        },
    [EXERCISE_LESS_COMES] =
        {
            [EXERCISE_DC] = {"less comes in, whatever the filter does", NULL},
            [EXERCISE_RIPPLE] = {"the tubes draw less, and ripple goes with the current",
                                 "the capacitor must last longer until the next pulse, or AC gets "
                                 "through"},
            [EXERCISE_LINE] = {"less is passed on, so less comes from the line",
                               "the fault itself takes power"},
            [EXERCISE_HEATER] = {"less comes from this transformer",
                                 "less current in the primary, which all windings share"},
        },
    [EXERCISE_MORE_OHMS] =
        {
            [EXERCISE_DC] = {"it lies after the higher resistance, which takes its share",
                             "it lies before the higher resistance: less current is drawn from it"},
            [EXERCISE_RIPPLE] = {"less current flows, and the higher resistance holds ripple back",
                                 NULL},
            [EXERCISE_LINE] = {"less current can flow, so less comes from the line", NULL},
            [EXERCISE_HEATER] = {"less current can flow",
                                 "less current in the primary, which all windings share"},
        },
    [EXERCISE_FEWER_OHMS] =
        {
            [EXERCISE_DC] = {"more current is drawn from it: nothing holds it back",
                             "what took its share of the voltage before this point is missing"},
            [EXERCISE_RIPPLE] = {"the capacitor after it now shares the work",
                                 "what held the ripple back is missing"},
            [EXERCISE_LINE] = {"less is lost on the way",
                               "higher voltage: the tubes draw more, and it comes from the line"},
            [EXERCISE_HEATER] = {"the higher current loses more in the primary", NULL},
        },
    [EXERCISE_DARK] =
        {
            [EXERCISE_DC] = {"the rectifier is cold as well",
                             "cold tubes draw nothing, so the capacitors keep the crest"},
            [EXERCISE_RIPPLE] = {"cold tubes draw nothing between pulses", NULL},
            [EXERCISE_LINE] = {"heaters and tubes draw nothing", NULL},
            [EXERCISE_HEATER] = {"no current flows through the string", NULL},
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
    return class == EXERCISE_LIVE && battery ? live_on_battery : how[class];
}

const char *words_exercise_reason(enum exercise_reason reason)
{
    assert((unsigned)reason < EXERCISE_REASONS);
    return reasons[reason];
}

const char *words_exercise_why(enum exercise_effect effect, enum exercise_what what, bool up)
{
    assert((unsigned)effect < EXERCISE_EFFECTS && (unsigned)what < EXERCISE_WHATS);
    const char *text = why[effect][what][up ? UP : DOWN];
    return text ? text : words_exercise_why_follows;
}
