/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Heaters on a winding that a part names, and whether its volts can be right for them. */
#include <string.h>

#include "heater.h"
#include "kinds.h"
#include "suggest.h"

static void complain_winding(struct set *set, const struct part *part, const char *name)
{
    suggest_words words = {0};
    for (int i = 0; i < set->parts.n; i++)
        if (set->parts.at[i]->kind->winding)
            suggest_keys(set->arena, &words, part_node(set->parts.at[i], "windings"));
    array_push(set->arena, &words, "always hot");
    part_complain(set, part, "heated by", suggest(set->arena, name, &words),
                  "%s: there is no winding `%s`", part->name, name);
}

/* The ends of a heater or a battery of that name: sets without a transformer for heaters. */
static bool beside(const struct set *set, const char *name, const char **from, const char **to)
{
    const struct part *part = set_find(set, name);
    struct part_way way;
    if (!part || !part_is(part, ROLE_HEATER | ROLE_SOURCE) || !part_way(set, part, 0, &way) ||
        way.points != 2)
        return false;
    *from = way.point[0];
    *to = way.point[1];
    return true;
}

/* A winding without load is up to 12 % above the volts its heaters are rated for, and read with a
 * meter that errs (common practice, no source). What is farther off is another winding's heater. */
#define WINDING_HIGH 1.25
#define WINDING_LOW 0.9

static void note_mismatch(struct set *set, const struct part *part, const char *winding,
                          double open, double volts, const char *type)
{
    const struct part *transformer = part_with(set, ROLE_TRANSFORMER);
    double line = transformer ? part_volts(transformer) : 0;
    double gives = open * line / set->line_volts;
    if (!(set->line_volts > 0) || !(gives > 0)) return;
    if (gives <= WINDING_HIGH * volts && gives >= WINDING_LOW * volts) return;
    diags_add(set->diags, DIAG_NOTE, part_node(part, "heated by")->at,
              "is it the right winding, and its `open circuit` what the meter read?",
              "%s: %s%s%.4g V heater, but `%s` gives %.3g V without load%s", part->name,
              type ? type : "", type ? " has a " : "a ", volts, winding, gives,
              kind_in_variant(set));
}

bool heater_on_winding(struct set *set, struct part *part, double volts, double amperes,
                       const char *type)
{
    const char *name = part_name(set, part, "heated by"), *from, *to;
    double open = 0;
    if (!name || kind_says(part, "heated by", "always hot")) return true;
    if (!set_winding(set, name, &from, &to, &open) && !beside(set, name, &from, &to)) {
        complain_winding(set, part, name);
        return false;
    }
    if (volts > 0) note_mismatch(set, part, name, open, volts, type);
    return heater_give(
        set, part,
        (struct heater_pins){
            .from = from, .to = to, .volts = volts, .amperes = amperes, .winding = name},
        part, "heated by");
}
