/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Everything lives in the arena of the bench but the text of the memory stream. */
#include "summary_bench.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>

#include "numbers.h"
#include "page.h"
#include "utf8.h"

/* --- a set made by hand --- */

void bench_part(struct bench *b, const char *kind, const char *name, const char *map)
{
    struct part *p = ARENA_NEW(b->arena, struct part);
    p->name = name;
    p->kind = kind_find(kind);
    assert_non_null(p->kind);
    p->map = p->own = doc_parse(b->arena, b->diags, "test.yaml", map, strlen(map));
    assert_non_null(p->map);
    p->fitted = true;
    array_push(b->arena, &b->set->parts, p);
    /* What is missing, assumed or joined does not matter: the circuit is made by hand. */
    struct set aside = {.arena = b->arena,
                        .diags = diags_new(b->arena),
                        .circuit = circuit_new(b->arena),
                        .ambient = b->set->ambient,
                        .line = {"line", "neutral"}};
    p->kind->read(&aside, p);
}

void bench_rate(struct bench *b, const char *subject, enum measure measure, double limit,
                enum unit unit)
{
    set_rate(b->set, (struct rating){.subject = subject,
                                     .measure = measure,
                                     .limit = limit,
                                     .unit = unit,
                                     .source = "scenario",
                                     .system = "",
                                     .harm = HARM_LAMP_VOLTS});
}

struct rating *bench_last_rating(struct bench *b)
{
    return &b->set->ratings.at[b->set->ratings.n - 1];
}

void bench_at(struct bench *b, struct result *r, const char *subject, enum measure measure,
              double value, enum unit unit, double time)
{
    array_push(b->arena, &r->figures, (struct figure){subject, measure, value, unit, time});
}

void bench_put(struct bench *b, const char *subject, enum measure measure, double value,
               enum unit unit)
{
    bench_at(b, &b->run, subject, measure, value, unit, NEVER);
}

void bench_point(struct bench *b, const char *name, double volts, double ripple)
{
    bench_put(b, name, MEASURE_SETTLED_VOLTAGE, volts, UNIT_VOLT);
    bench_put(b, name, MEASURE_SETTLED, 1, UNIT_NUMBER);
    bench_put(b, name, MEASURE_RIPPLE_RMS, ripple, UNIT_VOLT);
    bench_put(b, name, MEASURE_SETTLING_TIME, 21.26, UNIT_SECOND);
}

void bench_guess(struct bench *b, const char *subject, const char *key, double value,
                 enum unit unit)
{
    set_assume(b->set, (struct assumption){.part = subject,
                                           .key = key,
                                           .value = value,
                                           .low = value / 2,
                                           .high = 2 * value,
                                           .unit = unit,
                                           .basis = "common practice, no source",
                                           .known_by = KNOWN_BY_SCALES,
                                           .guess = true});
}

void bench_reading(struct bench *b, const char *subject, double value, enum unit unit,
                   bool measured)
{
    array_push(
        b->arena, &b->setup.readings,
        (struct reading){.subject = subject, .value = value, .unit = unit, .measured = measured});
}

void bench_stage(struct bench *b, double time, const char *change)
{
    array_push(b->arena, &b->setup.stages,
               (struct stage){.time = time,
                              .set = b->set,
                              .circuit = b->c,
                              .mains_source = 0,
                              .mains_on = true,
                              .change = change});
}

/* A set of two points on a transformer, 117 V line on a 117 V primary, 60 s settled. */
static void wire(struct bench *b)
{
    struct circuit *c = b->c;
    int line = circuit_point(c, "line"), neutral = circuit_point(c, "neutral");
    int chassis = circuit_point(c, "chassis"), filter = circuit_point(c, "first filter");
    int plus = circuit_point(c, "B+");
    c->reference = "chassis";
    circuit_resistor(c, "mains", "R", line, neutral, 0.3);
    circuit_capacitor(c, "C1", "C", filter, chassis, 8e-6);
    circuit_resistor(c, "L1", "R", filter, plus, 1500);
    circuit_probe(c, (struct probe){.kind = PROBE_VOLTAGE,
                                    .flags = PROBE_CAPACITOR,
                                    .subject = "C1",
                                    .from = filter,
                                    .to = chassis});
    bench_part(b, "power transformer", "T1", "primary:\n  rated: 117 V\n");
    bench_part(b, "rectifier", "V6", "plates: [plate 1, plate 2]\nlaw: vacuum\n");
    bench_part(b, "capacitor", "C1", "across: [first filter, chassis]\nvalue: 8 uF\n");
}

struct bench bench_new(void)
{
    struct bench b = {.arena = arena_new()};
    b.diags = diags_new(b.arena);
    b.c = circuit_new(b.arena);
    b.set = ARENA_NEW(b.arena, struct set);
    b.set->arena = b.arena;
    b.set->circuit = b.c;
    b.set->ambient = 298.15;
    b.set->line_volts = b.set->plug_volts = 117;
    b.set->line[0] = "line";
    b.set->line[1] = "neutral";
    wire(&b);
    bench_stage(&b, 0, NULL);
    b.setup.title = "Six-tube table set (invented)";
    b.setup.variant = "base";
    b.setup.frequency = 60;
    b.run.settled = true;
    b.run.end = b.setup.duration = 60;
    b.run.closing_angle = b.restart.closing_angle = PI / 2;
    return b;
}

static void squeeze(char *text)
{
    char *to = text;
    for (const char *p = text; *p; p++)
        if (!isspace((unsigned char)*p)) *to++ = *p;
        else if (to > text && to[-1] != ' ') *to++ = ' ';
    *to = 0;
}

/* What holds of every summary. */
static void check_lines(const char *text)
{
    for (const char *line = text; *line;) {
        size_t n = strcspn(line, "\n");
        if (utf8_count(line, n) > 80 || (n > 0 && line[n - 1] == ' '))
            fail_msg("too long or blanks at its end: `%.*s`", (int)n, line);
        for (size_t i = 0; i < n; i++)
            if ((unsigned char)line[i] < ' ' || line[i] == 0x7f) fail_msg("control character");
        assert_int_equal(line[n], '\n');
        line += n + 1;
    }
}

/* Judges, writes and reads it back. */
void bench_write(struct bench *b)
{
    const struct result *runs[] = {&b->run, &b->restart};
    const char *names[] = {b->setup.variant, "base (hot restart)"};
    size_t bytes;
    b->t = (struct turn_on){.setup = &b->setup,
                            .run = &b->run,
                            .restart = b->restarts ? &b->restart : NULL,
                            .restart_name = names[1]};
    b->t.judgement = judge(b->arena, &b->setup, runs, names, b->restarts ? 2 : 1);
    free(b->raw); /* of an earlier time */
    FILE *to = open_memstream(&b->raw, &bytes);
    assert_non_null(to);
    page_style_set((struct page_style){.full = !b->brief, .cautions = !b->brief});
    summary_write(to, b->arena, &b->t, b->figures);
    fclose(to);
    check_lines(b->raw);
    b->plain = arena_text(b->arena, b->raw, bytes);
    squeeze(b->plain);
}

void bench_free(struct bench *b)
{
    free(b->raw);
    arena_free(b->arena);
}

int bench_count(const char *text, const char *what)
{
    int n = 0;
    for (const char *p = text; (p = strstr(p, what)) != NULL; p++) n++;
    return n;
}
