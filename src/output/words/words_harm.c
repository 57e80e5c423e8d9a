/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_harm.h"

#include <assert.h>

#include "tongue.h"

static const struct tongue harms[HARMS] = {
    [HARM_NONE] = EITHER(""),
    [HARM_LAMP_VOLTS] = EITHER("The lamp's voltage is too high: it will not last."),
    [HARM_WINDING_CURRENT] =
        EITHER("The winding carries more than it is made for: its copper gets too hot."),
    [HARM_CAPACITOR_SURGE] = EITHER("It is driven over its surge voltage, if only for a moment."),
    [HARM_CAPACITOR_VOLTS] = EITHER("It is over its working voltage as long as the set is on."),
    [HARM_CAPACITOR_RIPPLE] = EITHER("Its ripple current heats it beyond its rating (the rating's "
                                     "factor for other frequencies is not applied)."),
    [HARM_CAPACITOR_REVERSED] =
        EITHER("It is reversed: an electrolytic connected in reverse heats up, vents or shorts."),
    [HARM_CAN_HOT] = EITHER("Its can gets hotter than such a part lives with."),
    [HARM_CAN_RUNAWAY] = EITHER("A can of this size cannot get rid of that much heat: it gets "
                                "hotter and leaks more until it vents or shorts."),
    [HARM_COIL_CURRENT] =
        EITHER("Its direct current is over its rating: it heats, and its inductance falls."),
    [HARM_COIL_WATTS] = EITHER("Its copper burns more watts than it is rated for."),
    [HARM_PLATE_HEAT] =
        US_UK_ROW("Its plate gets more heat than it can shed: it glows red, gas comes out "
                  "of it, and the output transformer carries the same current.",
                  "Its anode gets more heat than it can shed: it glows red, gas comes out "
                  "of it, and the output transformer carries the same current."),
    [HARM_RECTIFIER_HEAT] =
        US_UK_ROW("Its plates get more heat than they can shed: they glow red, gas "
                  "comes out of them, and the transformer carries the same current.",
                  "Its anodes get more heat than they can shed: they glow red, gas "
                  "comes out of them, and the transformer carries the same current."),
    [HARM_SCREEN_HEAT] =
        EITHER("Its screen gets more heat than it can shed: its wires sag and glow."),
    [HARM_BARRETTER_VOLTS] = EITHER("The voltage is beyond the barretter's range: it no longer "
                                    "holds its current, and its wire burns out."),
    [HARM_THERMISTOR_CURRENT] =
        EITHER("The thermistor carries more than its rated current and burns."),
    [HARM_FUSE_CURRENT] = EITHER(
        "The fuse carries more than its rated current: it runs hot and opens sooner or later."),
    [HARM_RESISTOR_WATTS] =
        EITHER("It burns more than its rated watts; twice the watts it takes is customary."),
    [HARM_PLATE_VOLTS] =
        US_UK_ROW("Its plate voltage is more than the sheet allows for this kind of filter.",
                  "Its anode voltage is more than the sheet allows for this kind of filter."),
    [HARM_FIRST_CAPACITOR] = US_UK_ROW("The first capacitor is larger than the data sheet allows.",
                                       "The reservoir is larger than the data sheet allows."),
    [HARM_SUPPLY_IMPEDANCE] =
        US_UK_ROW("There is less resistance ahead of each plate than the data sheet asks for.",
                  "There is less resistance ahead of each anode than the data sheet asks for."),
    [HARM_INVERSE_VOLTS] =
        EITHER("The voltage it holds back is over its rating: it can arc or break down."),
    [HARM_RUNNING_PEAK] = EITHER("Every charging pulse is over the peak its cathode is rated for."),
    [HARM_FIRST_PEAK] = EITHER("The first pulse at switch-on is over what it is rated for."),
    [HARM_FIRST_HEAT] =
        EITHER("The first pulse at switch-on heats the junction more than it is rated for."),
    [HARM_AVERAGE_CURRENT] = EITHER("Its direct current is over its rating."),
    [HARM_STARVED] =
        EITHER("Its current is below what keeps it alight: it will flicker and make noise."),
    [HARM_SURGE_CURRENT] = EITHER("The first pulse at switch-on is over its surge rating."),
    [HARM_HEATER_HIGH] = EITHER("Its heater voltage is too high: that shortens its life."),
    [HARM_HEATER_LOW] =
        EITHER("Its heater voltage is too low: a cool cathode gives less current and wears."),
    [HARM_INSULATION] = EITHER("The insulation chars and turns short together."),
};

const char *words_harm(enum harm harm)
{
    assert((unsigned)harm < HARMS);
    return tongue_says(harms[harm]);
}
