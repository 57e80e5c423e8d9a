/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What another transformer in its place must have. */
#include <string.h>

#include "heater.h"
#include "numbers.h"
#include "transformer.h"

/* The highest rated volts of the heaters between two points; 0: none. */
double transformer_heater_volts(const struct set *set, const char *from, const char *to)
{
    double volts = 0;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        for (int k = 0; k < part->heater_count; k++) {
            const struct heater_pins *p = &part->heaters[k];
            if ((!strcmp(p->from, from) && !strcmp(p->to, to)) ||
                (!strcmp(p->from, to) && !strcmp(p->to, from)))
                volts = larger(volts, p->volts);
        }
    }
    return volts;
}

bool transformer_wanted(const struct set *set, const struct part *part, int k,
                        struct part_winding *winding)
{
    const struct transformer *t = part->data;
    double watts;
    if (k >= t->windings) return false;
    const struct winding *w = &t->winding[k];
    const char *from = set->circuit->points.at[w->half[0].from],
               *to = set->circuit->points.at[w->half[w->halves - 1].to];
    *winding = (struct part_winding){.name = w->name,
                                     .halves = w->halves,
                                     .line = t->rated,
                                     .frequency = t->frequency,
                                     .primary_ohms = t->ohms,
                                     .feeds_plates = transformer_feeds_plates(t, w),
                                     .heater_volts = transformer_heater_volts(set, from, to)};
    winding->heater_amperes = heater_draw(set, from, to, &watts);
    for (int i = 0; i < w->halves; i++) {
        winding->subject[i] = w->half[i].subject;
        winding->volts[i] = w->half[i].volts * t->rated / w->line;
        winding->ohms[i] = w->half[i].ohms;
    }
    return true;
}
