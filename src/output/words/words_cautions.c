/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Most are what every shop tells its apprentices: common practice, no source, where none is named.
 */
#include "words_cautions.h"

#include <assert.h>

#include "discharge.h"
#include "tongue.h"

#define DISCHARGE_TEXT                                                                             \
    US_UK(                                                                                         \
        "Before a hand goes in: plug out, then empty every filter capacitor through a resistor, "  \
        "never a screwdriver: %.0f kohm, wirewound, %.0f W, rated for the voltage (%.0f V), held " \
        "on for %.0f s. Read with the meter: under %.0f V. Wait, and read again.",                 \
        "Before a hand goes in: plug out, then empty every smoothing capacitor through a "         \
        "resistor, never a screwdriver: %.0f kohm, wirewound, %.0f W, rated for the voltage "      \
        "(%.0f V), held on for %.0f s. Read with the meter: under %.0f V. Wait, and read again.")

static const struct {
    struct tongue name, text;
} cautions[CAUTIONS] = {
    [CAUTION_RULES] =
        {EITHER("Rules"),
         EITHER("Local codes and licensed practice go first; nothing here takes their place.")},
    /* DOE-HDBK-1092-2004, 10.10.1.1: capacitors hold charge and gather it again; danger counted
     * from 50 V: OSHA 29 CFR 1910 subpart S (from memory) */
    [CAUTION_UNPLUGGED] =
        {EITHER("Unplugged is not dead"),
         EITHER(
             "The voltages in this set can kill, and its capacitors keep them with the plug out; "
             "charge also creeps back into a capacitor that was emptied.")},
    /* 30 s are five time constants of 10 kohm and 600 uF (derived) */
    [CAUTION_DISCHARGE] = {EITHER("Discharge"), {0}},
    [CAUTION_FIRST_POWER] =
        {EITHER("First power"),
         US_UK_ROW(
             "Never work alone, and never leave the set unattended: one hand in the pocket, eye "
             "protection on, the switch at arm's length. Off at once when rectifier plates turn "
             "red, "
             "at smoke, at a hot can or a hum that swells.",
             "Never work alone, and never leave the set unattended: one hand in the pocket, eye "
             "protection on, the switch at arm's length. Off at once when rectifier anodes turn "
             "red, "
             "at smoke, at a hot can or a hum that swells.")},
    [CAUTION_FIRE] =
        {EITHER("Fire"),
         EITHER("An old part could set fire to wax, cloth and cabinet. Power it on a surface that "
                "does not burn, with an extinguisher for live equipment within reach.")},
    [CAUTION_NO_ISOLATION] = {EITHER("No isolation"),
                              EITHER("A variable transformer does not isolate, and a series lamp "
                                     "stops no shock: both only limit voltage or current.")},
    [CAUTION_LIVE_CHASSIS] =
        {EITHER("Live chassis"),
         US_UK_ROW(
             "The chassis or B- of this set may be joined to the line, straight or through its "
             "rectifier and capacitors, one way round of the plug or the other, and through cold "
             "heaters even when it is switched off. Feed it through an isolating transformer; "
             "never "
             "earth it, and let no earthed instrument or other earthed metal near it. Behind that "
             "transformer a ground-fault breaker does not trip.",
             "The chassis or HT- of this set may be joined to the mains, straight or through its "
             "rectifier and capacitors, one way round of the plug or the other, and through cold "
             "heaters even when it is switched off. Feed it through an isolating transformer; "
             "never "
             "earth it, and let no earthed instrument or other earthed metal near it. Behind that "
             "transformer a residual-current breaker does not trip.")},
    [CAUTION_RECTIFIER_SOCKET] =
        {US_UK_ROW("Rectifier socket", "Rectifier valveholder"),
         US_UK_ROW(
             "The rectifier's socket is at B+, and so is the 5 V winding of a tube whose cathode "
             "is "
             "its filament. With the rectifier out, the socket still carries the AC of the plates.",
             "The rectifier's valveholder is at HT, and so is the 5 V winding of a valve whose "
             "cathode is its filament. With the rectifier out, the valveholder still carries the "
             "AC "
             "of the anodes.")},
    [CAUTION_PLATE_TO_PLATE] =
        {US_UK_ROW("Plate to plate", "Anode to anode"),
         US_UK_ROW("Read each plate to the centre tap, never plate to plate: twice "
                   "the volts, beyond many meters and leads.",
                   "Read each anode to the centre tap, never anode to anode: twice "
                   "the volts, beyond many meters and leads.")},
    [CAUTION_SPEAKER_PLUG] =
        {EITHER("Speaker plug"),
         US_UK_ROW(
             "The plug of a field-coil speaker carries B+. Never run the set with it out: the "
             "first "
             "capacitor then sees the full peak, and a field coil that is opened kicks.",
             "The plug of a mains-energised speaker carries HT. Never run the set with it out: the "
             "reservoir then sees the full peak, and a field coil that is opened kicks.")},
    [CAUTION_INSULATED_CANS] =
        {EITHER("Insulated cans"),
         EITHER("A capacitor here has its negative off the chassis: its bare can is at that "
                "voltage, and its insulating washer and sleeve must stay.")},
    [CAUTION_SELENIUM] =
        {EITHER("Selenium"),
         EITHER("Fumes of a burning selenium rectifier are poisonous: at a smell of rotten "
                "vegetables switch off, leave and air the room. Do not file, burn or open it.")},
    [CAUTION_MERCURY] = {EITHER("Mercury"),
                         EITHER("The rectifier holds mercury (82, 83, 866 and their like): do not "
                                "break it; if it breaks, air the room, never sweep or vacuum, and "
                                "take it to a hazardous-waste site.")},
    /* PCB disposal: 40 CFR part 761 (from memory) */
    [CAUTION_OIL_CAPACITORS] =
        {EITHER("Oil capacitors"),
         EITHER("Old oil-filled and wax-paper blocks can hold PCB: do not open or heat them, wear "
                "gloves when one leaks, and take them to a hazardous-waste site.")},
    [CAUTION_RESISTANCE_CORD] =
        {US_UK_ROW("Resistance cord", "Resistance lead"),
         US_UK_ROW("Resistance line cords and ballasts run hot and can hold asbestos: do not "
                   "strip, sand or "
                   "cut one, and never shorten it, which also lowers its resistance.",
                   "Resistance mains leads and ballasts run hot and can hold asbestos: do not "
                   "strip, sand "
                   "or cut one, and never shorten it, which also lowers its resistance.")},
    /* classes X and Y: IEC 60384-14 (from memory) */
    [CAUTION_LINE_CAPACITORS] = {US_UK_ROW("Line capacitors", "Mains capacitors"),
                                 US_UK_ROW(
                                     "Between the lines only capacitors rated X belong, from line "
                                     "to chassis or earth only Y; "
                                     "old ones could burst or put the line on the chassis.",
                                     "Across the mains only capacitors rated X belong, from mains "
                                     "to chassis or earth only Y; "
                                     "old ones could burst or put the mains on the chassis.")},
    [CAUTION_CAPACITORS_IN_SERIES] =
        {EITHER("Capacitors in series"),
         EITHER("Never without a resistor across each: the one that leaks less could take nearly "
                "the whole voltage. Mind the resistors' own voltage rating.")},
    [CAUTION_VIBRATOR] =
        {EITHER("Vibrator"),
         US_UK_ROW("Cleaned or tested from the line, the can of a vibrator may be live.",
                   "Cleaned or tested from the mains, the can of a vibrator may be live.")},
    [CAUTION_RE_FORMING] =
        {EITHER("Re-forming"),
         EITHER("The supply must be current-limited and can still kill. Eye protection on; a part "
                "that turns warm is not re-forming but failing: stop.")},
    [CAUTION_CHASSIS_TEST] =
        {EITHER("Chassis test"),
         EITHER("Measure with the set alone on its insulated bench, both ways round of the plug, "
                "one hand only; treat the chassis as live until the reading says otherwise.")},
};

static const char brief_discharge[] =
    "Discharge each capacitor through %.0f kohm, %.0f W, for %.0f s, then read under %.0f V.";

/* NULL: a general one, told in full only. */
static const struct tongue briefs[CAUTIONS] = {
    [CAUTION_UNPLUGGED] = EITHER("Unplugged is not dead."),
    [CAUTION_FIRST_POWER] =
        US_UK_ROW("Never work alone; one hand in the pocket. Off at once at smoke, a "
                  "hot can, red plates, or a swelling hum.",
                  "Never work alone; one hand in the pocket. Off at once at smoke, a "
                  "hot can, red anodes, or a swelling hum."),
    [CAUTION_LIVE_CHASSIS] = EITHER("LIVE CHASSIS, switched off too: use an isolation transformer, "
                                    "and let nothing earthed near it."),
    [CAUTION_RECTIFIER_SOCKET] =
        US_UK_ROW("The rectifier's socket is at B+.", "The rectifier's valveholder is at HT."),
    [CAUTION_PLATE_TO_PLATE] =
        US_UK_ROW("Read plates to the centre tap only.", "Read anodes to the centre tap only."),
    [CAUTION_SPEAKER_PLUG] =
        US_UK_ROW("The speaker plug carries B+; never run the set without it.",
                  "The speaker plug carries HT; never run the set without it."),
    [CAUTION_INSULATED_CANS] = EITHER("A can here is live: keep it insulated."),
    [CAUTION_SELENIUM] = EITHER(
        "At a smell of rotten vegetables switch off, leave and air the room: selenium fumes."),
    [CAUTION_MERCURY] = EITHER("The rectifier holds mercury: do not break it."),
    [CAUTION_OIL_CAPACITORS] =
        EITHER("Old oil and wax-paper blocks can hold PCB: do not open or heat them."),
    [CAUTION_RESISTANCE_CORD] = US_UK_ROW(
        "The line cord or ballast runs hot and can hold asbestos: do not cut or shorten it.",
        "The mains lead or ballast runs hot and can hold asbestos: do not cut or shorten it."),
    [CAUTION_LINE_CAPACITORS] =
        US_UK_ROW("Capacitors on the line: class X across it, class Y to the chassis.",
                  "Capacitors on the mains: class X across it, class Y to the chassis."),
    [CAUTION_CAPACITORS_IN_SERIES] = EITHER("Capacitors in series need a resistor across each."),
    [CAUTION_VIBRATOR] = EITHER("A vibrator's can may be live."),
    [CAUTION_RE_FORMING] =
        EITHER("Limit the current of the supply; a part that gets warm is failing: stop."),
    [CAUTION_CHASSIS_TEST] = EITHER("Measure both ways round of the plug, with one hand."),
};

const char *words_cautions_name(enum caution caution)
{
    assert((unsigned)caution < CAUTIONS);
    return tongue_says(cautions[caution].name);
}

const char *words_cautions_text(struct arena *arena, enum caution caution)
{
    assert((unsigned)caution < CAUTIONS);
    if (caution != CAUTION_DISCHARGE) return tongue_says(cautions[caution].text);
    return arena_printf(arena, DISCHARGE_TEXT, DISCHARGE_RULE / 1e3, DISCHARGE_WATTS,
                        DISCHARGE_VOLTS, DISCHARGE_HOLD, DISCHARGE_SAFE);
}

const char *words_cautions_brief(struct arena *arena, enum caution caution)
{
    assert((unsigned)caution < CAUTIONS);
    if (caution != CAUTION_DISCHARGE) return tongue_says(briefs[caution]);
    return arena_printf(arena, brief_discharge, DISCHARGE_RULE / 1e3, DISCHARGE_WATTS,
                        DISCHARGE_HOLD, DISCHARGE_SAFE);
}
