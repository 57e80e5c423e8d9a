/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_limits.h"

#include <assert.h>

#include "tongue.h"

const char *words_limits_charge(struct arena *arena, enum charge_limit limit)
{
    switch (limit) {
    case CHARGE_LIMIT_CHARGE:
        return arena_printf(arena, "charge at most %.0f uC", 1e6 * CHARGE_COULOMBS);
    case CHARGE_LIMIT_CAPACITANCE:
        return arena_printf(arena, "capacitance at most %.1f uF from %.1f V to %.0f V",
                            1e6 * CHARGE_FARADS, CHARGE_LIVE, CHARGE_FARADS_TO);
    case CHARGE_LIMIT_WORKER:
        return arena_printf(arena,
                            "energy at most %.0f J (%.0f V to %.0f V), %.2f J above: a capacitor "
                            "hazard for anyone working on it",
                            CHARGE_WORKER_BELOW, CHARGE_WORKER_FROM, CHARGE_WORKER_TO,
                            CHARGE_WORKER_ABOVE);
    case CHARGE_LIMIT_TWO_SECONDS:
        return arena_printf(arena, "below %.0f V within %.0f s", CHARGE_VOLTS, discharge_marks[1]);
    case CHARGE_LIMIT_FIVE_SECONDS:
        return arena_printf(arena, "below %.0f V within %.0f s", CHARGE_VOLTS, discharge_marks[2]);
    case CHARGE_LIMIT_BLEEDER:
        return arena_printf(arena,
                            "below 50 V within %.0f min (%.0f min above %.0f V), as the bleeder of "
                            "a power capacitor must bring it",
                            CHARGE_BLEEDER / 60, CHARGE_BLEEDER_HIGH / 60, CHARGE_HIGH_VOLTS);
    default: break;
    }
    assert(false);
    return "";
}

const char *words_limits_pins(struct arena *arena, const struct pin_limit *limit)
{
    double after = discharge_marks[limit->mark];
    if (limit->volts <= 1)
        return arena_printf(arena, "below %.0f %% of the crest %.0f s after the plug is pulled",
                            100 * limit->volts, after);
    if (limit->farads > 0)
        return arena_printf(arena,
                            US_UK("below %.0f V %.0f s after the plug is pulled, where more than "
                                  "%.1f uF lie across the line",
                                  "below %.0f V %.0f s after the plug is pulled, where more than "
                                  "%.1f uF lie across the mains"),
                            limit->volts, after, 1e6 * limit->farads);
    return arena_printf(arena, "below %.0f V %.0f s after the plug is pulled", limit->volts, after);
}
