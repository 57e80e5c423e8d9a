/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_HEATER_H
#define PRESOLDER_HEATER_H

#include "laws.h"
#include "part.h"

/* Everything that is heated: cathodes of rectifiers and of the set's tubes, bare filaments, lamps.
 * All times follow from heat capacities; a warm-up time only sets these. */

/* One heated body: a cathode with one or two heater sections, or a filament that emits itself. */
struct heater_body {
    bool indirect;               /* has a cathode of its own */
    double warm_up;              /* [s], see heater_law_of */
    double parallel;             /* that many equal ones on the same points */
    int sections;                /* 1 or 2 */
    double volts[2], amperes[2]; /* rated, of each section */
    int from[2], to[2];          /* points */
    const char *part[2];         /* what the section's elements belong to: a heater part, or
                                  * `V6.heater` on a winding */
};

/* The customary time to 95 % of the settled current of a tube whose heater has these ratings [s]
 * (common practice, no source, where no sheet tells it): series strings, of 12 V and more at 0.3 A
 * and less, 28 s; other indirectly heated ones 18 s; directly heated ones 3 s, from 2.5 A on 5.2 s
 * (2 s to the first current and 7 s to full: maker's data sheet EML5U4G, Emission Labs), up to 0.15
 * A 1 s. */
double heater_warm_up(bool indirect, double volts, double amperes);

/* The constants of a body in a room of `ambient` [K]. Its heat capacities are such that, from cold
 * and at rated volts, emission_share reaches 0.95 after warm_up. */
struct heater_law heater_law_of(const struct heater_body *body, double ambient);

/* States a customary warm-up as an assumption of the part. */
void heater_assume(struct set *set, const char *part, double seconds);

/* Writes the body into the circuit (base resistances, device, states). Returns the global number of
 * the state that is the emitter's temperature. `role` is unique within body->part[0]. */
int heater_stamp(struct set *set, const char *role, const struct heater_body *body);

/* What a heated part needs to know of its heater pins to have them stamped. */
struct heater_kind {
    bool indirect;
    double warm_up; /* [s]; 0: customary */
};

/* Stamps the heater pins first..first+sections-1 of a part as one cathode; a heater part that
 * another part has stamped already is shared. Returns the emitter's state. */
int heater_of_pins(struct set *set, const struct part *part, int first, int sections,
                   const char *role, struct heater_kind kind);

/* Adds pins to a part; false when it has room for no more (complained at `key` of `by`). */
bool heater_give(struct set *set, struct part *part, struct heater_pins pins, const struct part *by,
                 const char *key);

/* Drops the pins that come from windings when heater parts gave some too. */
void heater_settle(struct part *part);

/* Gives the part pins on the winding named at `heated by`, for heaters of these ratings, of a tube
 * of that type (may be NULL); notes volts that cannot be right for them. Does nothing when the key
 * is missing or reads `always hot`; complains of unknown windings. False when it complained. */
bool heater_on_winding(struct set *set, struct part *part, double volts, double amperes,
                       const char *type);

/* Whether it is the heater of the part called `owner`: that part itself, or a heater part that names
 * it with `of`. */
bool heater_heats(const struct part *part, const char *owner);

/* Heater ratings as in `6.3 V 0.3 A` or `120 V 60 W`; false when missing or wrong (then
 * complained). */
bool heater_rated(struct set *set, const struct part *part, const char *key, double *volts,
                  double *amperes);

/* `heating` of a part: true *indirect unless it reads direct; false when the key is missing. */
bool heater_heating(struct set *set, const struct part *part, bool *indirect);

/* Heating and warm-up told by a heater part (its tube); all zero and indirect when it tells none.
 * The model of its tube, or NULL. */
const struct model *heater_tells(const struct set *set, const char *heater,
                                 struct heater_kind *kind);

/* Rated amperes of all heaters that hang on two points; *watts what they take. */
double heater_draw(const struct set *set, const char *from, const char *to, double *watts);

struct heater_extreme {
    double volts;     /* rated [V] */
    const char *type; /* of the tube; NULL: not known */
};

/* Probe and ratings for the volts at heater pins: at most 10 % under the highest and over the
 * lowest rated volts there (common practice, no source); highest 0: no limit below. */
void heater_watch(struct set *set, const char *subject, int from, int to,
                  struct heater_extreme lowest, struct heater_extreme highest);

#endif
