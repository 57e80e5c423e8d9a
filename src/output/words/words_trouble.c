/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_trouble.h"

#include <assert.h>

#include "words_status.h"

static const char *const texts[TROUBLE_CAUSES] = {
    [TROUBLE_EQUATIONS] = "the equations could not be solved",
    [TROUBLE_TINY_STEP] = "the time step became too small",
    [TROUBLE_SINGULAR] = "the equations became singular",
    [TROUBLE_PATTERN] = "no way of conducting agrees with itself",
    [TROUBLE_SWITCHING] = "rectifiers switch without end",
    [TROUBLE_LEAP] = "a leap over many cycles went wrong",
    [TROUBLE_BACK] = "the state before a trial could not be found again",
};

static const char *const faults[NETWORK_FAULTS] = {
    [NETWORK_SOURCES] = "contradictory sources",
    [NETWORK_OPEN] = "a current or potential is not determined",
    [NETWORK_NO_WAY] = "a part whose current is a law of its own has no way around it",
    [NETWORK_UNDETERMINED] = "the equations do not determine every current and potential",
    [NETWORK_CONTRADICTION] = "the equations contradict one another",
};

/* what, a part, seconds */
static const char near_a_part[] =
    "%s near %s: look at its values and at those of what it is joined to, at %.9g s";
/* what, parts and points, seconds */
static const char of_parts[] = "%s: %s, at %.9g s";
/* what, seconds */
static const char of_none[] = "%s, at %.9g s";

const char *words_trouble(struct arena *arena, enum status status, const struct trouble *t)
{
    if (t->cause == TROUBLE_NONE || t->cause == TROUBLE_INTERRUPTED) return words_status(status);
    const char *what = t->cause == TROUBLE_NETWORK ? faults[t->fault] : texts[t->cause];
    assert(what);
    if (!t->names) return arena_printf(arena, of_none, what, t->time);
    return arena_printf(arena, t->cause < TROUBLE_NETWORK ? near_a_part : of_parts, what, t->names,
                        t->time);
}
