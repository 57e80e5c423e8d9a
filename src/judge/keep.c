/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first reason that holds counts: a fault, what passes a rating, then age. */
#include "keep.h"

#include <math.h>
#include <string.h>

/* The row that uses most of its rating, without one the greatest magnitude; NULL: none. */
static const struct judged *worst(const struct judgement *j, const char *subject,
                                  enum measure measure)
{
    const struct judged *most = NULL;
    for (int i = 0; subject && i < j->all.n; i++) {
        const struct judged *row = &j->all.at[i];
        if (row->figure.measure != measure || strcmp(row->figure.subject, subject) != 0) continue;
        if (!most || (isnan(row->share)
                          ? isnan(most->share) && fabs(row->figure.value) > fabs(most->figure.value)
                          : !(row->share <= most->share)))
            most = row;
    }
    return most;
}

static bool over(const struct judged *row)
{
    return row && row->verdict == VERDICT_OVER;
}

static double value(const struct judged *row)
{
    return row ? fabs(row->figure.value) : (double)NAN;
}

static double limit(const struct judged *row)
{
    return row && row->rating ? row->rating->limit : 0;
}

static void decide(struct keep_row *k, enum keep what, enum keep_why why)
{
    if (k->why != KEEP_SOUND) return;
    k->what = what;
    k->why = why;
}

static struct keep_row row_of(const struct part *part, const struct judgement *j)
{
    const struct capacitor *c = part->data;
    const struct judged *volts = worst(j, part->name, MEASURE_SETTLED_VOLTAGE),
                        *highest = worst(j, part->name, MEASURE_HIGHEST_VOLTAGE),
                        *lowest = worst(j, part->name, MEASURE_LOWEST_VOLTAGE),
                        *ripple = worst(j, part->name, MEASURE_RMS_CURRENT),
                        *can = worst(j, capacitor_can(part), MEASURE_TEMPERATURE);
    struct keep_row k = {.name = part->name,
                         .condition = part_condition(part),
                         .make = c->make,
                         .make_given = c->make_given,
                         .volts = value(volts),
                         .highest = value(highest),
                         .rated = c->rated,
                         .surge = limit(highest),
                         .kelvin = value(can),
                         .amperes = value(ripple),
                         .rated_amperes = limit(ripple)};
    if (k.condition) decide(&k, KEEP_REPLACE, KEEP_FAULTY);
    if (over(lowest) && part_is(part, ROLE_ELECTROLYTIC)) decide(&k, KEEP_REPLACE, KEEP_REVERSED);
    if (over(volts)) decide(&k, KEEP_REPLACE, KEEP_VOLTS);
    if (over(highest)) decide(&k, KEEP_REPLACE, KEEP_SURGE);
    if (over(ripple)) decide(&k, KEEP_REPLACE, KEEP_RIPPLE);
    if (over(can)) decide(&k, KEEP_REPLACE, KEEP_HOT);
    if (!c->make_given) decide(&k, KEEP_TEST, KEEP_MAKE);
    if (c->make == MAKE_WET) decide(&k, KEEP_REPLACE, KEEP_WET);
    if (c->make == MAKE_PAPER) decide(&k, KEEP_REPLACE, KEEP_PAPER);
    if (c->make == MAKE_DRY) decide(&k, KEEP_REFORM, KEEP_OLD);
    if (!(c->rated > 0)) decide(&k, KEEP_TEST, KEEP_UNRATED);
    return k;
}

struct keep_list keep_list(struct arena *arena, const struct setup *setup,
                           const struct judgement *judgement)
{
    const struct set *set = setup->stages.at[0].set;
    struct keep_list list = {0};
    for (int i = 0; i < set->parts.n; i++)
        if (part_is(set->parts.at[i], ROLE_CAPACITOR))
            array_push(arena, &list.rows, row_of(set->parts.at[i], judgement));
    return list;
}

void keep_sees(struct keep_row *k, double volts)
{
    if (!(volts > k->highest)) return;
    k->highest = volts;
    if (k->what == KEEP_REPLACE || !(k->surge > 0) || !(volts > k->surge)) return;
    k->what = KEEP_REPLACE;
    k->why = KEEP_SURGE;
}
