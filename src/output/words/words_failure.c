/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_failure.h"

#include <assert.h>

#include "capacitor.h"
#include "tongue.h"
#include "words_trouble.h"

const char *words_failure(enum failure_cause cause)
{
    const char *const texts[FAILURE_CAUSES] = {
        [FAILURE_RUN] = "the solution failed",
        [FAILURE_SETUP] = "cannot be set up",
        [FAILURE_MEMORY] = "out of memory",
        [FAILURE_THREADS] = "no thread could be started",
        [FAILURE_SOUND] = "the sound set has no steady state",
        [FAILURE_UNSETTLED] = "it does not settle",
        [FAILURE_AUDIT] = "its energy or charge does not balance",
        [FAILURE_NO_EARTH] = "there are no mains: nothing joins this set to the earth of the wall",
        [FAILURE_NO_LINE] = "there are no mains to put a fuse in",
        [FAILURE_MAINS_OFF] = "the mains are off at the start of this run",
        [FAILURE_NO_LAMP] = US_UK("a bench sheet is for sets that are fed from the line",
                                  "a bench sheet is for sets that are fed from the mains"),
        [FAILURE_NO_FILTER] =
            US_UK("there is no filter capacitor to buy", "there is no smoothing capacitor to buy"),
    };
    assert(cause > FAILURE_NONE && cause < FAILURE_CAUSES);
    return texts[cause];
}

const char *words_failure_why(struct arena *arena, const struct failure *f)
{
    if (f->message) return f->message;
    if (f->cause != FAILURE_RUN || f->trouble.cause == TROUBLE_NONE) return words_failure(f->cause);
    return words_trouble(arena, STATUS_SOLUTION, &f->trouble);
}

const char *words_failure_which(struct arena *arena, const struct failure *f)
{
    const char *const texts[FAILURE_RUNS] = {
        [FAILURE_TURN_ON] = "the turn-on",
        [FAILURE_HOT] = "the hot run",
        [FAILURE_SWITCHED_OFF] = "the run that is switched off",
        [FAILURE_COLD_TUBES] = US_UK("the run with cold tubes", "the run with cold valves"),
    };
    if (f->run == FAILURE_NAMED) return f->name;
    if (f->run == FAILURE_TOUCH)
        return arena_printf(arena, "from `%s`, plug %s, switched %s", f->name,
                            f->reversed ? "reversed" : "as drawn", f->on ? "on" : "off");
    assert(f->run < FAILURE_RUNS);
    return texts[f->run];
}

const char *words_failure_hint(struct arena *arena, enum failure_cause cause)
{
    if (cause == FAILURE_NO_LAMP)
        return "a vibrator or battery set has no series lamp: use `switch-on`";
    if (cause == FAILURE_NO_FILTER)
        return arena_printf(arena,
                            "a capacitor counts when it is an electrolytic, or has %.0f uF or more",
                            1e6 * CAPACITOR_FILTER);
    return NULL;
}
