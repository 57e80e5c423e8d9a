/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_trouble.h"

#include <assert.h>

#include "words_status.h"

struct saying {
    const char *what, *advice;
};

static const char beside[] = "look at the values beside them";
static const char apart[] = "nothing joins them to the rest of the set, or their values are so far "
                            "apart that one is lost beside the other";
static const char far_off[] = "look for a value that is far from all others";

static const struct saying causes[TROUBLE_CAUSES] = {
    [TROUBLE_EQUATIONS] = {"the equations could not be solved", far_off},
    [TROUBLE_TINY_STEP] = {"the time step became too small", far_off},
    [TROUBLE_SINGULAR] = {"the equations became singular", far_off},
    [TROUBLE_SWITCHED] = {"the equations could not be solved where one of these switches", beside},
    [TROUBLE_PATTERN] = {"these parts find no state that agrees with itself", beside},
    [TROUBLE_SWITCHING] = {"rectifiers switch without end", beside},
    [TROUBLE_LEAP] = {"a leap over many cycles went wrong", far_off},
    [TROUBLE_BACK] = {"the state before a trial could not be found again", far_off},
};

static const struct saying faults[NETWORK_FAULTS] = {
    [NETWORK_SOURCES] = {"contradictory sources", "give one of them some resistance"},
    [NETWORK_OPEN] = {"a current or potential is not determined",
                      "give one of them some resistance"},
    [NETWORK_NO_WAY] = {"a part has no path for its current",
                        "look for a value that is far from all others, or put a resistor across "
                        "the part"},
    [NETWORK_UNDETERMINED] = {"the equations do not determine some currents and potentials", apart},
    [NETWORK_CONTRADICTION] = {"the equations contradict one another", apart},
};

/* seconds, what, a part and its points */
static const char near_a_part[] =
    "at %.9g s: %s near %s: look at the values of this part, and at those of what it is joined to";
/* seconds, what, parts and points, advice */
static const char of_parts[] = "at %.9g s: %s: %s; %s";
/* seconds, what, advice */
static const char of_none[] = "at %.9g s: %s; %s";

const char *words_trouble(struct arena *arena, enum status status, const struct trouble *t)
{
    if (t->cause == TROUBLE_NONE || t->cause == TROUBLE_INTERRUPTED) return words_status(status);
    const struct saying *say = t->cause == TROUBLE_NETWORK ? &faults[t->fault] : &causes[t->cause];
    assert(say->what);
    if (!t->names) return arena_printf(arena, of_none, t->time, say->what, say->advice);
    if (t->cause < TROUBLE_SWITCHED)
        return arena_printf(arena, near_a_part, t->time, say->what, t->names);
    return arena_printf(arena, of_parts, t->time, say->what, t->names, say->advice);
}
