/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two rounds of runs: all that does not depend on the recommended lamp, then the faults on it.
 * Every run is the scenario with a few keys laid over it. Timed changes of the scenario are left
 * out. */
#include "bench_sheet.h"

#include <math.h>
#include <string.h>

#include "bench_bands.h"
#include "bench_runs.h"
#include "capacitor.h"
#include "ends.h"
#include "load.h"
#include "numbers.h"
#include "overrides.h"

enum { CORNERS = 8 };

#define WARM_MOST 8.0 /* without a lamp a warm run settles in so many seconds */
#define WARM_LAMP 5.0 /* with one it lasts so long: a dark filament takes seconds */
#define OHMS_TIME 3.0
#define LEAK 25e-3       /* of a leaky first capacitor, at its volts at full line [A] */
#define BENCH_TURNS 0.05 /* shorted, of the high voltage */
#define EUROPE 160.0     /* line volts from which lamps are those of 230 V */

struct bench {
    struct arena *arena;
    struct diags *diags;
    const struct scenario *scenario;
    const char *variant;
    struct bench_sheet *sheet;
    struct bench_runs runs;
    struct bench_share share[BENCH_STEPS];
    struct bench_row warm[BENCH_STEPS]; /* the middle of the corners */
    struct bench_row corners[BENCH_STEPS][CORNERS];
};

int bench_lamp_watts(int i)
{
    static const int watts[BENCH_LAMPS] = {25, 40, 60, 100, 150};
    return watts[i];
}

const char *bench_reading_name(enum bench_reading reading, enum unit *unit)
{
    static const struct {
        const char *name;
        enum unit unit;
    } all[BENCH_READINGS] = {
        {"lamp", UNIT_VOLT},         {"line current", UNIT_AMPERE}, {"line power", UNIT_WATT},
        {"heater", UNIT_VOLT},       {"first filter", UNIT_VOLT},   {"second filter", UNIT_VOLT},
        {"first ripple", UNIT_VOLT},
    };
    *unit = all[reading].unit;
    return all[reading].name;
}

/* ---- setups ---- */

/* Complaints go to `diags`; timed changes do not happen. */
static const struct setup *set_up(struct bench *b, struct diags *diags, const char *label,
                                  const struct overrides *o)
{
    const char *name = arena_printf(b->arena, "bench: %s", label);
    const struct setup *setup = overrides_setup(o, diags, b->scenario, b->variant, name);
    if (!setup) return NULL;
    struct setup *first = ARENA_NEW(b->arena, struct setup);
    *first = *setup;
    first->stages.n = 1;
    return first;
}

static bool add(struct bench *b, const char *label, const struct overrides *o,
                struct bench_piece piece)
{
    piece.setup = set_up(b, b->diags, label, o);
    if (piece.row) *piece.row = (struct bench_row){.what = label, .telling = -1};
    if (piece.setup) array_push(b->arena, &b->runs.pieces, piece);
    return piece.setup != NULL;
}

static struct bench_piece warm_piece(int step, struct bench_row *row)
{
    bool bare = step == BENCH_LAMPS;
    return (struct bench_piece){
        .duration = bare ? WARM_MOST : WARM_LAMP, .hot = true, .settle = bare, .row = row};
}

static const char *lamp_name(struct bench *b, int step)
{
    if (step == BENCH_LAMPS) return "full line";
    return arena_printf(b->arena, "%d W lamp", bench_lamp_watts(step));
}

/* What stands in series with the plug for this step; other things there stay. */
static void put_step(struct bench *b, struct overrides *o, int step)
{
    const char *lamp = "none";
    if (step < BENCH_LAMPS)
        lamp = arena_printf(b->arena, "%d W %.0f V", bench_lamp_watts(step), b->sheet->lamp_volts);
    overrides_text(o, "mains", "through.lamp", lamp);
}

static void put_line(struct overrides *o, double volts)
{
    overrides_value(o, "mains", "voltage", volts, UNIT_VOLT);
}

/* Parts out of their sockets. */
static void put_out(struct bench *b, struct overrides *o, unsigned roles)
{
    const struct set *set = b->sheet->setup->stages.at[0].set;
    for (int i = 0; i < set->parts.n; i++)
        if (part_is(set->parts.at[i], roles))
            overrides_text(o, set->parts.at[i]->name, "fitted", "no");
}

/* A fault of the part, as its kind lists it; false when it cannot have it. */
static bool put_fault(struct bench *b, struct overrides *o, const char *name, const char *what,
                      double severity)
{
    const struct set *set = b->sheet->setup->stages.at[0].set;
    const struct part *part = set_find(set, name);
    const struct part_fault *fault = fault_find(part->kind, what);
    struct fault_change changes[FAULT_CHANGES];
    if (!fault || !fault_can(set, part, fault)) return false;
    int n = fault_lay(b->arena, set, part, fault, severity, changes);
    for (int i = 0; i < n; i++) overrides_text(o, part->name, changes[i].key, changes[i].text);
    return true;
}

/* ---- before power, and the transformer alone ---- */

static bool plan_ohms(struct bench *b)
{
    struct bench_sheet *sheet = b->sheet;
    bool good = true;
    sheet->ohms = ARENA_ARRAY(b->arena, double, sheet->parts.pairs.n);
    for (int i = 0; i < sheet->parts.pairs.n; i++) {
        sheet->ohms[i] = (double)NAN;
        const struct bench_pair *pair = &sheet->parts.pairs.at[i];
        struct overrides o = overrides_new(b->arena);
        overrides_text(&o, "mains", "state", "off");
        overrides_part(&o, b->runs.meter, "battery", pair->plus, pair->minus);
        overrides_value(&o, b->runs.meter, "voltage", BENCH_METER_VOLTS, UNIT_VOLT);
        overrides_value(&o, b->runs.meter, "resistance", BENCH_METER_OHMS, UNIT_OHM);
        good &= add(b, arena_printf(b->arena, "ohms %s", pair->what), &o,
                    (struct bench_piece){.duration = OHMS_TIME, .ohms = &sheet->ohms[i]});
    }
    return good;
}

static void put_alone(struct bench *b, struct overrides *o)
{
    put_out(b, o, ROLE_RECTIFIER | ROLE_LOAD | ROLE_HEATER); /* a lamp stays */
    put_step(b, o, BENCH_LAMPS);
}

/* Before the warm runs: reading those asks which windings there are. */
static bool plan_ratio(struct bench *b)
{
    struct overrides o = overrides_new(b->arena);
    if (!b->sheet->parts.transformer) return true;
    put_alone(b, &o);
    put_line(&o, BENCH_RATIO);
    return add(
        b, "ratio test", &o,
        (struct bench_piece){.duration = BENCH_ALONE, .hot = true, .settle = true, .ratio = true});
}

static bool plan_alone(struct bench *b)
{
    struct bench_sheet *sheet = b->sheet;
    struct bench_piece piece = {
        .duration = BENCH_ALONE, .hot = true, .settle = true, .line = true, .row = &sheet->alone};
    struct overrides line = overrides_new(b->arena);
    if (!sheet->parts.transformer) return true;
    put_alone(b, &line);
    bool good = add(b, "transformer alone", &line, piece);
    put_fault(b, &line, sheet->parts.transformer, "shorted turns", BENCH_TURNS);
    piece.line = piece.settle = false; /* they warm by tens of kelvins a second */
    piece.may_fail = true;
    piece.row = &sheet->alone_shorted;
    return good && add(b, "transformer alone, shorted turns", &line, piece);
}

/* ---- healthy ---- */

static void put_scale(struct overrides *o, const struct part *load, double by)
{
    overrides_value(o, load->name, "scaled by", load_scale(load) * by, UNIT_NUMBER);
}

/* Bit 0: high line, 1: large capacitors, 2: heavy load. */
static void put_corner(struct bench *b, struct overrides *o, int corner)
{
    const struct set *set = b->sheet->setup->stages.at[0].set;
    const struct bench_parts *parts = &b->sheet->parts;
    put_line(o, b->sheet->line * (corner & 1 ? 1 + BENCH_LINE_BAND : 1 - BENCH_LINE_BAND));
    for (int i = 0; i < parts->filters.n; i++)
        overrides_value(o, parts->filters.at[i]->name, "value",
                        capacitor_farads(parts->filters.at[i]) *
                            (corner & 2 ? 1 + BENCH_FARADS_UP : 1 - BENCH_FARADS_DOWN),
                        UNIT_FARAD);
    for (int i = 0; i < set->parts.n; i++)
        if (part_is(set->parts.at[i], ROLE_SCALES))
            put_scale(o, set->parts.at[i], corner & 4 ? 1 + BENCH_LOAD_BAND : 1 - BENCH_LOAD_BAND);
}

static bool plan_corners(struct bench *b, int step)
{
    bool good = true;
    for (int c = 0; c < CORNERS; c++) {
        struct overrides o = overrides_new(b->arena);
        put_step(b, &o, step);
        put_corner(b, &o, c);
        const char *label = arena_printf(
            b->arena, "%s; line %s 5 %%, capacitors %s %%, load %s 15 %%", lamp_name(b, step),
            c & 1 ? "+" : "-", c & 2 ? "+50" : "-20", c & 4 ? "+" : "-");
        good &= add(b, label, &o, warm_piece(step, &b->corners[step][c]));
    }
    return good;
}

static void find_band(struct bench *b, int step)
{
    struct bench_sheet *sheet = b->sheet;
    struct arena *passing = arena_scratch(b->arena);
    struct overrides o = overrides_new(passing);
    put_step(b, &o, step);
    const struct scenario *s =
        overrides_scenario(&o, diags_new(passing), b->scenario, b->variant, lamp_name(b, step));
    sheet->about[step] = !s || !bench_bands_find(passing, s, lamp_name(b, step), &sheet->parts,
                                                 b->runs.options, &b->share[step]);
    arena_clear(passing);
}

static bool plan_warm(struct bench *b, int step)
{
    struct overrides o = overrides_new(b->arena);
    put_step(b, &o, step);
    return add(b, arena_printf(b->arena, "%s, warm", lamp_name(b, step)), &o,
               warm_piece(step, &b->warm[step]));
}

static bool plan_healthy(struct bench *b)
{
    bool good = true;
    for (int i = 0; i < BENCH_LAMPS; i++) {
        struct overrides o = overrides_new(b->arena);
        put_step(b, &o, i);
        const char *label = lamp_name(b, i);
        good &= add(b, label, &o,
                    (struct bench_piece){.duration = BENCH_COLD, .row = &b->sheet->steps[i]});
    }
    return good;
}

/* Where too few sets settle, the corners are run. */
static bool plan_bands(struct bench *b)
{
    bool good = true;
    for (int i = 0; i < BENCH_STEPS && !b->sheet->wide; i++) {
        find_band(b, i);
        if (!b->sheet->about[i]) continue;
        if (i < BENCH_LAMPS) good &= plan_warm(b, i);
        good &= plan_corners(b, i);
    }
    return good;
}

static bool corners_known(const struct bench *b, int step)
{
    bool known = b->warm[step].told;
    for (int c = 0; c < CORNERS; c++) known &= b->corners[step][c].told;
    return known;
}

/* What the corners do to the warm set. */
static void find_corners(struct bench *b, int step)
{
    const struct bench_row *warm = &b->warm[step];
    for (int k = 0; k < BENCH_READINGS; k++) {
        double least = 1, most = 1;
        for (int c = 0; c < CORNERS; c++) {
            double share = b->corners[step][c].value[k] / warm->value[k];
            if (!b->corners[step][c].told || !isfinite(share)) continue;
            least = smaller(least, share);
            most = larger(most, share);
        }
        b->share[step].least[k] = least;
        b->share[step].most[k] = most;
    }
}

static void make_band(struct bench *b, int step)
{
    struct bench_row *row = &b->sheet->steps[step];
    for (int k = 0; k < BENCH_READINGS && b->sheet->wide; k++) {
        b->share[step].least[k] = 1 - BENCH_WIDE;
        b->share[step].most[k] = 1 + BENCH_WIDE;
    }
    if (b->sheet->about[step]) {
        if (b->sheet->status == STATUS_INTERRUPTED) row->told &= corners_known(b, step);
        find_corners(b, step);
    }
    bench_bands_lay(&b->share[step], row);
}

/* The smallest lamp that leaves BENCH_SHARE, all as typed. */
static void recommend(struct bench *b)
{
    struct bench_sheet *sheet = b->sheet;
    const double most = (1 - BENCH_SHARE) * sheet->line;
    int i = 0;
    while (i < BENCH_LAMPS - 1 && sheet->steps[i].value[BENCH_LAMP_VOLTS] > most) i++;
    sheet->recommended = i;
    sheet->enough = sheet->steps[i].value[BENCH_LAMP_VOLTS] <= most;
}

/* ---- variable transformer ---- */

double bench_ladder_volts(int i, double line)
{
    static const double volts[BENCH_LADDER - 1] = {40, 60, 80, 100};
    if (i == BENCH_LADDER - 1) return line;
    double at = volts[i] * (line > EUROPE ? 2 : 1);
    return at < line ? at : 0;
}

static bool plan_ladder(struct bench *b)
{
    bool good = true;
    for (int i = 0; i < BENCH_LADDER; i++) {
        double volts = bench_ladder_volts(i, b->sheet->line);
        struct overrides o = overrides_new(b->arena);
        if (!(volts > 0)) continue;
        put_step(b, &o, BENCH_LAMPS);
        overrides_value(&o, "mains", "through.variable transformer", volts, UNIT_VOLT);
        good &= add(b, arena_printf(b->arena, "variable transformer at %.0f V", volts), &o,
                    warm_piece(BENCH_LAMPS, &b->sheet->ladder[i]));
    }
    return good;
}

/* ---- faults ---- */

struct fault {
    const char *part, *label;
    struct overrides overrides;
};

/* The faults of this set; parts it does not have are NULL. */
static int list_faults(struct bench *b, struct fault faults[BENCH_FAULTS])
{
    const struct bench_sheet *sheet = b->sheet;
    const struct bench_parts *p = &sheet->parts;
    const double usual = (double)NAN;
    const double volts = fabs(sheet->steps[BENCH_LAMPS].value[BENCH_FIRST_VOLTS]);
    const char *leaks = arena_printf(b->arena, "leaks %.0f mA", 1e3 * LEAK);
    const struct {
        const char *part, *fault, *says;
        double severity;
    } all[BENCH_FAULTS] = {
        {p->first, "shorted", "shorted", usual},
        {p->first, "leaky", leaks, volts / LEAK},
        {p->first, "open", "open", usual},
        {p->second, "shorted", "shorted", usual},
        {p->coil, "open", "open", usual},
        {p->rectifier, "open", "dead", usual},
        {p->transformer, "shorted turns", "shorted turns", BENCH_TURNS},
    };
    int n = 0;
    for (int i = 0; i < BENCH_FAULTS; i++) {
        struct overrides o = overrides_new(b->arena);
        if (!all[i].part || !put_fault(b, &o, all[i].part, all[i].fault, all[i].severity)) continue;
        faults[n++] = (struct fault){all[i].part,
                                     arena_printf(b->arena, "%s %s", all[i].part, all[i].says), o};
    }
    return n;
}

/* A fault that does not go with what the scenario says of the part is left out. */
static void plan_faults(struct bench *b)
{
    struct fault faults[BENCH_FAULTS];
    int n = list_faults(b, faults);
    for (int at = 0; at < 2; at++)
        for (int i = 0; i < n; i++) {
            int step = at ? BENCH_LAMPS : b->sheet->recommended;
            struct bench_row *row = &b->sheet->faults[at][i];
            struct overrides o = faults[i].overrides;
            put_step(b, &o, step);
            const char *label =
                arena_printf(b->arena, "%s, %s", lamp_name(b, step), faults[i].label);
            struct bench_piece piece = {.duration = BENCH_COLD, .row = row};
            if (at) piece = warm_piece(step, row);
            piece.may_fail = true;
            *row = (struct bench_row){.telling = -1};
            piece.setup = set_up(b, diags_new(b->arena), label, &o);
            if (piece.setup) array_push(b->arena, &b->runs.pieces, piece);
            row->what = faults[i].label;
        }
}

static bool plan_no_rectifier(struct bench *b)
{
    struct overrides o = overrides_new(b->arena);
    if (!b->sheet->parts.rectifier) return true;
    put_out(b, &o, ROLE_RECTIFIER);
    put_step(b, &o, b->sheet->recommended);
    return add(b, arena_printf(b->arena, "%s, rectifier out", lamp_name(b, b->sheet->recommended)),
               &o, (struct bench_piece){.duration = BENCH_COLD, .row = &b->sheet->no_rectifier});
}

/* How far outside the band, in its greater end. */
static double outside(const struct bench_row *healthy, double value, int k)
{
    double reach = larger(fabs(healthy->least[k]), fabs(healthy->most[k]));
    double by = larger(healthy->least[k] - value, value - healthy->most[k]);
    return by > 0 && reach > 0 ? by / reach : 0;
}

static void find_telling(struct bench_sheet *sheet)
{
    for (int at = 0; at < 2; at++)
        for (int i = 0; i < BENCH_FAULTS; i++) {
            struct bench_row *row = &sheet->faults[at][i];
            const struct bench_row *healthy = &sheet->steps[at ? BENCH_LAMPS : sheet->recommended];
            double farthest = 0;
            for (int k = 0; k < BENCH_READINGS && row->told; k++) {
                double by = outside(healthy, row->value[k], k);
                if (by > farthest) farthest = by, row->telling = k;
            }
        }
}

/* ---- all of it ---- */

static bool start(struct bench *b)
{
    struct bench_sheet *sheet = b->sheet;
    sheet->status = STATUS_SCENARIO;
    sheet->setup = scenario_setup(b->arena, b->diags, b->scenario, b->variant);
    if (!sheet->setup) return false;
    const struct stage *stage = &sheet->setup->stages.at[0];
    const struct circuit *c = stage->circuit;
    bool sine = stage->mains_source >= 0 &&
                c->waveforms.at[c->elements.at[stage->mains_source].group].kind == WAVEFORM_SINE;
    if (!sine) {
        sheet->failure.cause = FAILURE_NO_LAMP;
        return false;
    }
    sheet->parts = bench_parts_find(b->arena, stage->set);
    sheet->line = stage->set->line_volts;
    sheet->lamp_volts = sheet->line > EUROPE ? 230 : 120;
    sheet->status = STATUS_OK;
    return true;
}

struct bench_sheet *bench_sheet_make(struct arena *arena, struct diags *diags,
                                     const struct scenario *s, const char *variant,
                                     const struct bench_options *options)
{
    struct bench *b = ARENA_NEW(arena, struct bench);
    struct bench_sheet *sheet = ARENA_NEW(arena, struct bench_sheet);
    *b = (struct bench){
        .arena = arena, .diags = diags, .scenario = s, .variant = variant, .sheet = sheet};
    b->runs = (struct bench_runs){.arena = arena,
                                  .sheet = sheet,
                                  .options = options,
                                  .meter = overrides_free_name(arena, s, "ohmmeter")};
    sheet->waited = options->tolerances;
    if (!start(b)) return sheet;
    sheet->wide = !options->tolerances && ends_take_long(sheet->setup);
    for (int i = 0; i < sheet->setup->stages.at[0].set->parts.n; i++)
        sheet->loads += part_is(sheet->setup->stages.at[0].set->parts.at[i], ROLE_SCALES);
    if (!plan_ohms(b) || !plan_ratio(b) || !plan_warm(b, BENCH_LAMPS) || !plan_alone(b) ||
        !plan_healthy(b) || !plan_ladder(b)) {
        sheet->status = STATUS_SCENARIO;
        return sheet;
    }
    sheet->recommended = -1;
    bool made = bench_runs_make(&b->runs);
    sheet->steps[BENCH_LAMPS] = b->warm[BENCH_LAMPS];
    sheet->steps[BENCH_LAMPS].what = lamp_name(b, BENCH_LAMPS);
    if (!made) {
        for (int i = 0; i < BENCH_STEPS; i++) sheet->steps[i].told = false; /* they lack bands */
        return sheet;
    }
    recommend(b);
    bool good = plan_bands(b) && plan_no_rectifier(b);
    plan_faults(b);
    if (!good) return sheet->status = STATUS_SCENARIO, sheet;
    if (!bench_runs_make(&b->runs) && sheet->status != STATUS_INTERRUPTED) return sheet;
    for (int i = 0; i < BENCH_STEPS; i++) make_band(b, i);
    find_telling(sheet);
    return sheet;
}
