/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the windings as they are and what they carry in the warm run. */
#include "transformer_text.h"

#include <math.h>
#include <string.h>

#include "words_buying.h"

static double figure(const struct buy_list *list, const char *subject, enum measure measure)
{
    const struct figure *f = run_figure(list->run[BUY_HOT], subject, measure);
    return f ? f->value : (double)NAN;
}

/* Direct amperes of the rectifiers whose plates lie at an end of the winding. */
static double direct(const struct buy_list *list, const struct part *transformer, int k)
{
    const struct set *set = list->setup[BUY_HOT]->stages.at[0].set;
    struct part_way way;
    double amperes = 0;
    if (!part_way(set, transformer, k, &way)) return 0;
    for (int i = 0; i < set->parts.n; i++) {
        const struct part *part = set->parts.at[i];
        bool meets = false;
        for (int j = 0; j < way.points && part_is(part, ROLE_RECTIFIER); j++)
            meets |= part_ends_at(set, part, way.point[j]);
        double mean = meets ? figure(list, part->name, MEASURE_AVERAGE_CURRENT) : 0;
        amperes += isnan(mean) ? 0 : fabs(mean);
    }
    return amperes;
}

static const char *volts(struct page *page, const struct part_winding *w)
{
    const char *first = page_value(page, w->volts[0], UNIT_VOLT, false);
    if (w->halves == 1) return arena_printf(page->arena, "%s RMS", first);
    const char *second = page_value(page, w->volts[1], UNIT_VOLT, false);
    const char *both =
        strcmp(first, second) == 0 ? first : arena_printf(page->arena, "%s and %s", first, second);
    return arena_printf(page->arena, words_buying_half, both);
}

static void tell(struct page *page, const struct buy_list *list, const struct part *transformer,
                 int k, const struct part_winding *w)
{
    const char *bullet = arena_printf(page->arena, "  * %s: ", w->name);
    double rms = 0, amperes = direct(list, transformer, k);
    for (int i = 0; i < w->halves; i++)
        rms = fmax(rms, figure(list, w->subject[i], MEASURE_RMS_CURRENT));
    if (w->heater_amperes > 0)
        page_say(page, bullet, words_buying_heaters,
                 page_value(page, w->heater_volts, UNIT_VOLT, false),
                 page_value(page, w->heater_amperes, UNIT_AMPERE, false));
    else if (w->feeds_plates && amperes > 0)
        page_say(page, bullet, words_buying_plates, volts(page, w),
                 page_value(page, amperes, UNIT_AMPERE, false),
                 page_value(page, rms, UNIT_AMPERE, false), 'a' + BUY_HOT,
                 w->halves == 2 ? (w->ohms[0] + w->ohms[1]) / 2 : w->ohms[0]);
    else page_say(page, bullet, words_buying_idle_winding, volts(page, w));
}

void transformer_text_write(struct page *page, const struct buy_list *list)
{
    if (!list->run[BUY_HOT]) return;
    const struct set *set = list->setup[BUY_HOT]->stages.at[0].set;
    const struct part *transformer = part_with(set, ROLE_TRANSFORMER);
    struct part_winding w;
    if (!transformer || !part_turns(set, transformer, 0, &w)) return;
    double va = figure(list, "mains", MEASURE_LINE_CURRENT) * set->line_volts;
    page_heading(page, words_buying_transformer);
    page_say(page, arena_printf(page->arena, "  * %s: ", transformer->name), words_buying_primary,
             page_value(page, w.line, UNIT_VOLT, false), w.frequency, va, 'a' + BUY_HOT);
    for (int k = 0; part_turns(set, transformer, k, &w); k++) tell(page, list, transformer, k, &w);
    page_say(page, "  ", words_buying_transformer_note);
}
