/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a set holds, from what its parts are and the points its circuit joins. Of two readings the
 * more cautious one is taken: what is not said counts as there. */
#include <math.h>
#include <string.h>

#include "cautions.h"
#include "islands.h"

#define SHOCK_FROM 50.0 /* [V]; OSHA 29 CFR 1910 subpart S (from memory) */

struct search {
    struct arena *arena;
    const struct stage *stage;
    const struct set *set;
    const struct circuit *c;
    bool transformer;
    struct hazards *h;
};

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool is_letter(char c)
{
    return lower(c) >= 'a' && lower(c) <= 'z';
}

/* `what` in lower case, any letters in `text`; not inside a word (no oil in a foil). */
static bool holds(const char *text, const char *what)
{
    for (const char *p = text; *p; p++) {
        size_t n = 0;
        if (p > text && is_letter(p[-1])) continue;
        while (what[n] && lower(p[n]) == what[n]) n++;
        if (!what[n]) return true;
    }
    return false;
}

static bool called(const struct part *part, const char *what)
{
    const char *type = part_type(part);
    return holds(part->name, what) || (type && holds(type, what));
}

/* --- parts --- */

static bool on_line(const struct search *s, const char *point)
{
    for (int i = 0; i < 2; i++)
        if (s->set->line[i] && strcmp(s->set->line[i], point) == 0) return true;
    return false;
}

/* Across the line, or from it to what hands touch. A filter capacitor of a set whose B- is a side
 * of the line is none; nor one of a doubler (an electrolytic: see its caller). */
static bool from_line(const struct search *s, const char *a, const char *b)
{
    bool touched = strcmp(b, "earth") == 0 || (s->c->reference && strcmp(b, s->c->reference) == 0);
    return on_line(s, a) && (on_line(s, b) || touched) && strcmp(a, b) != 0;
}

static void look_at_capacitor(struct search *s, const struct part *part)
{
    struct hazards *h = s->h;
    struct part_way way;
    part_way(s->set, part, 0, &way);
    const char *plus = way.point[0], *minus = way.point[1];
    bool large = part_is(part, ROLE_FILTER), electrolytic = part_is(part, ROLE_ELECTROLYTIC);
    bool off_chassis = s->c->reference && strcmp(minus, s->c->reference) != 0;
    h->keeps_charge |= large;
    h->insulated_can |= electrolytic && large && off_chassis;
    h->oil_capacitor |= called(part, "oil") || (part_is(part, ROLE_PAPER) && large);
    if (!electrolytic || !large)
        h->line_capacitor |= from_line(s, plus, minus) || from_line(s, minus, plus);
}

static void look_at_rectifier(struct search *s, const struct part *part)
{
    struct hazards *h = s->h;
    h->selenium |= part_is(part, ROLE_SELENIUM) || called(part, "selenium");
    h->mercury |= part_is(part, ROLE_MERCURY);
    h->tube_rectifier |= s->transformer && part_is(part, ROLE_TUBE);
    h->two_plates |= s->transformer && part_is(part, ROLE_TWO_PLATES);
}

static void look_at_part(struct search *s, const struct part *part)
{
    if (part_is(part, ROLE_CAPACITOR)) look_at_capacitor(s, part);
    if (part_is(part, ROLE_RECTIFIER)) look_at_rectifier(s, part);
    s->h->field_coil |= part_is(part, ROLE_FIELD_COIL);
    s->h->line_cord |=
        called(part, "line cord") || called(part, "resistance cord") || called(part, "ballast");
}

/* --- points --- */

static bool conducts_to_line(const struct search *s)
{
    int reference = s->c->reference ? circuit_find_point(s->c, s->c->reference) : -1;
    if (reference < 0) return false;
    const int *island = islands_of(s->arena, s->c, false);
    for (int i = 0; i < 2; i++) {
        int line = s->set->line[i] ? circuit_find_point(s->c, s->set->line[i]) : -1;
        if (line >= 0 && island[line] == island[reference]) return true;
    }
    return false;
}

static bool is_capacitor(const struct set *set, const char *name)
{
    const struct part *part = name ? set_find(set, name) : NULL;
    return part && part_is(part, ROLE_CAPACITOR);
}

/* Only capacitors, and more than one of them, meet at the point. */
static bool bare(const struct search *s, int point)
{
    const char *first = NULL;
    bool more = false;
    for (int i = 0; i < s->c->elements.n; i++) {
        const struct element *e = &s->c->elements.at[i];
        if (e->from != point && e->to != point) continue;
        if (!is_capacitor(s->set, e->part)) return false;
        if (!first) first = e->part;
        more |= strcmp(first, e->part) != 0;
    }
    return more;
}

static void look_at_circuit(struct search *s)
{
    struct hazards *h = s->h;
    for (int i = 0; i < s->c->waveforms.n; i++)
        h->vibrator |= s->c->waveforms.at[i].kind == WAVEFORM_SQUARE;
    /* a vibrator hangs on a battery, not on the line */
    if (s->stage->mains_source < 0 || circuit_square(s->c, s->stage->mains_source)) return;
    h->mains = true;
    h->hot_chassis |= !s->transformer || conducts_to_line(s);
}

static void look_at_stage(struct search *s)
{
    s->transformer = part_with(s->set, ROLE_TRANSFORMER);
    for (int i = 0; i < s->set->parts.n; i++) look_at_part(s, s->set->parts.at[i]);
    for (int i = 0; i < s->c->points.n; i++) s->h->bare_series |= bare(s, i);
    look_at_circuit(s);
}

static bool reaches_shock(const struct result *result)
{
    if (!result || result->figures.n == 0) return true;
    for (int i = 0; i < result->figures.n; i++) {
        const struct figure *f = &result->figures.at[i];
        if (f->unit == UNIT_VOLT && !(fabs(f->value) <= SHOCK_FROM)) return true;
    }
    return false;
}

struct hazards hazards_of(struct arena *arena, const struct setup *setup,
                          const struct result *result, unsigned occasion)
{
    struct hazards h = {.occasion = occasion, .lethal = reaches_shock(result)};
    for (int i = 0; i < setup->stages.n; i++) {
        const struct stage *stage = &setup->stages.at[i];
        struct search s = {
            .arena = arena, .stage = stage, .set = stage->set, .c = stage->circuit, .h = &h};
        look_at_stage(&s);
    }
    return h;
}
