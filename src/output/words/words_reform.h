/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_REFORM_H
#define PRESOLDER_WORDS_REFORM_H

/* Re-forming an old electrolytic. */

static const char words_reform_celsius[] = "%.0f C";
static const char words_reform_over_a_day[] = "> 24 h";
static const char words_reform_at_once[] = "at once";
static const char words_reform_resistor[] = "resistor";
static const char words_reform_law[] =
    "The leakage is taken to heal like that of one specimen, 80 years old, 20 uF 450 V at 350 V: "
    "4.5 mA at 20 s, 1 mA at 15 min, 0.12 mA at 1 h, 0.05 mA at 3 h (a restorer's account, on a "
    "supply of 5 mA at most), in "
    "proportion to microfarads and volts, and slower at a lower voltage (an estimate, no source). "
    "Yours may need ten times as long, or never heal: watch the meter in series.";
static const char words_reform_done[] = "When it is done";
/* amperes, volts */
static const char words_reform_good[] =
    "Good: the meter has come down to %s with nearly all of the %s on the part, and still falls. "
    "(JAN-C-62, second hand: I = k C + 0.3 mA, C in uF; k = 0.01 to 100 V, 0.02 to 250 V, 0.025 to "
    "350 V, 0.04 to 500 V rated.)";
/* watts that warm it; kelvins over the room; watts at most, degrees it then has, why so */
static const char words_reform_stop[] =
    "Stop at once: the can gets warm to the hand (%s in it keep it %.0f K over the room; at most "
    "%s, where it would be at %.0f C: %s); the current rises instead of falling; it stays "
    "above the limit for an hour; hissing, bulging, a wet seal.";
static const char words_reform_below[] =
    "A part that ends below its voltage because the resistor takes the rest is not formed: go to a "
    "smaller resistor once the current is small.";
static const char words_reform_trust[] =
    "Opinions differ on re-formed capacitors; many experienced repairers never rely on one. "
    "Re-forming restores the oxide, not dried-out paste: measure capacitance and series resistance "
    "as well.";
/* kelvins, watts, ohms, volts */
static const char words_reform_quickest[] =
    "The quickest of these that keeps the can within %.0f K of the room and itself within %.0f W: "
    "%s. A resistor sees the whole %s at first, and for good if the part is shorted: mind its own "
    "voltage rating, and take twice the watts.";
/* name, capacitance, volts, kind, volts of the supply */
static const char words_reform_head[] = "Re-forming %s: %s, %s, %s, on %s.";
static const char words_reform_amperes_table[] = "Milliamperes of a meter in series, after";
static const char words_reform_volts_table[] = "Voltage on the part, after";
static const char words_reform_means[] = "What each resistor means";
static const char words_reform_its_watts[] = "its watts at first";
static const char words_reform_most_in[] = "most in the part";
static const char words_reform_hottest[] = "hottest can";
static const char words_reform_within[] = "within the limit *";
/* amperes, volts */
static const char words_reform_within_note[] =
    "* the time until its leakage would be %s at the full %s.";
/* name, capacitance, volts, volts of the supply */
static const char words_reform_picture[] = "Re-forming %s: %s, %s at %s";

#endif
