/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "scenario_page.h"

#include "fault.h"
#include "scenario_keys.h"
#include "troff.h"
#include "words_manual.h"

struct scenario_page {
    FILE *to;
    struct arena *arena;
};

static void put_keys(const struct scenario_page *p, const struct key keys[])
{
    troff_list(p->to);
    for (const struct key *k = keys; k->name; k++)
        troff_term(p->to, k->name, NULL,
                   arena_printf(p->arena, "%s%s", k->takes,
                                k->use & KEY_MODEL    ? words_manual_by_type
                                : k->use & KEY_NEEDED ? words_manual_needed
                                                      : ""));
    troff_end_list(p->to);
}

static void put_faults(const struct scenario_page *p, const struct part_kind *kind)
{
    if (!kind->faults) return;
    fputs(".Pp\n", p->to);
    troff_text(p->to, words_manual_faults);
    troff_list(p->to);
    for (const struct part_fault *f = kind->faults; f->name; f++)
        troff_term(p->to, f->name, NULL,
                   arena_printf(p->arena, "%s%s", fault_says(f),
                                f->dangerous ? words_manual_dangerous : ""));
    troff_end_list(p->to);
}

static void put_kind(const struct scenario_page *p, const struct part_kind *kind)
{
    troff_subsection(p->to, kind->name);
    troff_text(p->to, kind->says);
    put_keys(p, kind->keys);
    for (const struct key_inner *inner = kind->inner; inner && inner->key; inner++) {
        fputs(".Pp\n", p->to);
        if (inner->named)
            troff_text(p->to, arena_printf(p->arena, words_manual_below_named, inner->key));
        else troff_text(p->to, arena_printf(p->arena, words_manual_below, inner->key));
        put_keys(p, inner->keys);
    }
    put_faults(p, kind);
}

void scenario_page_write(FILE *to, struct arena *arena, const char *version, const char *date)
{
    const struct scenario_page page = {to, arena}, *p = &page;
    troff_head(to, &(struct troff_head){"presolder-scenario", words_manual_scenario_says, date,
                                        version, 5});
    troff_section(to, "description");
    troff_text(to, words_manual_scenario);
    troff_subsection(to, "the file");
    put_keys(p, scenario_keys);
    troff_subsection(to, "mains");
    put_keys(p, mains_keys);
    fputs(".Pp\n", to);
    troff_text(to, arena_printf(arena, words_manual_below, "through"));
    put_keys(p, through_keys);
    troff_subsection(to, "run");
    put_keys(p, run_keys);
    troff_subsection(to, "timed changes");
    troff_text(to, words_manual_changes);
    troff_subsection(to, "variants");
    troff_text(to, words_manual_variants);
    put_keys(p, variant_keys);
    troff_subsection(to, "measured");
    troff_text(to, words_manual_readings);
    put_keys(p, condition_keys);
    troff_subsection(to, "meter");
    put_keys(p, meter_keys);
    troff_subsection(to, "repair");
    put_keys(p, repair_keys);
    troff_section(to, "parts");
    troff_text(to, words_manual_parts);
    put_keys(p, part_common_keys);
    for (int i = 0; kinds_all[i]; i++) put_kind(p, kinds_all[i]);
    troff_section(to, "see also");
    troff_reference(to, "presolder", 1, " ,");
    troff_reference(to, "presolder-check", 1, " ,");
    troff_reference(to, "presolder-new", 1, "");
}
