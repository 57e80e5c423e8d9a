/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings as they are written at the bench: what a key means follows from what its name stands
 * for, else from a measure behind it. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "bounds.h"
#include "readings_impl.h"
#include "trade_names.h"

/* Accuracies of meters that nobody has told of; from memory. */
#define METER_DC 0.02
#define METER_AC 0.05
#define METER_OHMS 10e6   /* of a digital meter */
#define METER_RATED 600.0 /* CAT III of common hand-held meters and their leads, from memory */

enum {
    CONDITION_NAME,
    CONDITION_LINE,
    CONDITION_LAMP,
    CONDITION_OUT,
    CONDITION_DATE
};                /* condition_keys */
#define WARM 60.0 /* seconds from which tubes count as warm; common practice, no source */

static bool refuse(const struct readings *r, struct place at, const char *hint, const char *message)
{
    diags_add(r->diags, DIAG_ERROR, at, hint, "%s", message);
    return false;
}

/* ---- values ---- */

static const char *trimmed(struct arena *arena, const char *text, size_t n)
{
    while (n > 0 && *text == ' ') text++, n--;
    while (n > 0 && text[n - 1] == ' ') n--;
    return arena_text(arena, text, n);
}

/* `181 V +-1 %`: tokens before the sign, the accuracy behind it. False with an error; a value that
 * is `unknown` has no tokens. */
static bool read_value(const struct readings *r, const struct node *node, const char *name,
                       struct meter_reading *reading, struct token tokens[QUANTITY_TOKENS], int *n)
{
    struct complaint why = {"", ""};
    *n = 0;
    if (node->kind != NODE_SCALAR)
        return refuse(r, node->at, "write it as in `B+: 250 V`",
                      arena_printf(r->arena, "`%s` takes one value", name));
    if (strcmp(node->text, "unknown") == 0) return true;
    if (reading->kind == READING_OHMS && strcmp(node->text, "open") == 0) {
        reading->value = HUGE_VAL;
        reading->unit = UNIT_OHM;
        *n = 1;
        tokens[0].is_word = false;
        return true;
    }
    const char *sign = strstr(node->text, "+-");
    size_t length = sign ? (size_t)(sign - node->text) : strlen(node->text);
    *n = quantity_scan(trimmed(r->arena, node->text, length), tokens, &why);
    if (*n < 0) return refuse(r, node->at, why.hint[0] ? why.hint : NULL, why.message);
    if (*n == 0 || tokens[0].is_word)
        return refuse(r, node->at, "write it as in `B+: 250 V`",
                      arena_printf(r->arena, "`%s` is no value", node->text));
    for (int i = 0; i < *n; i++)
        if (!tokens[i].is_word && !bounds_hold(tokens[i].value, tokens[i].unit, &why))
            return refuse(r, node->at, why.hint, why.message);
    if (sign && !quantity_parse(trimmed(r->arena, sign + 2, strlen(sign + 2)), UNIT_PERCENT,
                                &reading->accuracy, &why))
        return refuse(r, node->at, "write it as in `181 V +-1 %`", why.message);
    if (sign && !(reading->accuracy > 0))
        return refuse(r, node->at, "write it as in `181 V +-1 %`", "no meter reads exactly");
    reading->value = tokens[0].value;
    reading->unit = tokens[0].unit;
    return true;
}

/* One more reading of the set, its name and what it is understood; `want`: its unit. */
static void add(const struct readings *r, struct reading_set *set, const struct pair *p,
                struct meter_reading reading, enum unit want)
{
    struct token t[QUANTITY_TOKENS];
    int n;
    reading.place = p->at;
    reading.accuracy = (double)NAN;
    if (!read_value(r, p->value, p->key, &reading, t, &n) || n == 0) return;
    if (reading.unit != want) {
        refuse(r, p->value->at, NULL,
               arena_printf(r->arena, "`%s` is read in %s, not in %s", p->key, quantity_kind(want),
                            quantity_kind(reading.unit)));
        return;
    }
    bool at = n == 3 && t[1].is_word && strcmp(t[1].word, "at") == 0 && !t[2].is_word &&
              t[2].unit == UNIT_VOLT && t[2].value > 0;
    if (reading.kind == READING_LEAKAGE && !at) {
        refuse(r, p->value->at, "write it as in `leakage: 2 mA at 450 V`",
               "leakage is read at some volts");
        return;
    }
    if (reading.kind == READING_LEAKAGE) reading.at = t[2].value;
    else if (n != 1) {
        refuse(r, p->value->at, "write it as in `B+: 250 V`",
               arena_printf(r->arena, "`%s` is more than one value", p->value->text));
        return;
    }
    if (reading.value < 0 && reading.kind != READING_FIGURE) {
        refuse(r, p->value->at, NULL, "it cannot be below zero");
        return;
    }
    array_push(r->arena, &set->readings, reading);
}

/* ---- names ---- */

static bool is_point(const struct readings *r, const char *name)
{
    return suggest_has(&r->points->known, name);
}

/* A part, or something of it: `T1.high voltage`, `V6.1`. */
static bool is_part(const struct readings *r, const char *name)
{
    return suggest_has(&r->parts->known, name) || strcmp(name, "set") == 0 ||
           suggest_has(&r->parts->known, arena_text(r->arena, name, strcspn(name, ".")));
}

/* Whether this variant has it; what it has not cannot have been read there. */
static bool is_here(const struct readings *r, const char *name)
{
    return suggest_has(&r->points->here, name) || strcmp(name, "set") == 0 ||
           suggest_has(&r->parts->here, arena_text(r->arena, name, strcspn(name, ".")));
}

static void complain_name(const struct readings *r, struct place at, const char *name)
{
    suggest_words words = {0};
    for (int i = 0; i < r->points->known.n; i++)
        array_push(r->arena, &words, r->points->known.at[i]);
    for (int i = 0; i < r->parts->known.n; i++) array_push(r->arena, &words, r->parts->known.at[i]);
    diags_add(r->diags, DIAG_ERROR, at, suggest(r->arena, name, &words),
              "no point or part is called `%s`", name);
}

/* What may stand behind a name, or below it, beside the measures of figures.csv. */
static const struct {
    const char *word;
    struct meter_reading reading;
    enum unit unit;
} words[] = {
    {"DC", {.measure = MEASURE_SETTLED_VOLTAGE}, UNIT_VOLT},
    {"AC", {.alternating = true}, UNIT_VOLT},
    {"current", {.measure = MEASURE_NONE}, UNIT_AMPERE},
    {"power", {.measure = MEASURE_NONE}, UNIT_WATT},
    {"capacitance", {.kind = READING_CAPACITANCE}, UNIT_FARAD},
    {"series resistance", {.kind = READING_SERIES}, UNIT_OHM},
    {"ESR", {.kind = READING_SERIES}, UNIT_OHM},
    {"leakage", {.kind = READING_LEAKAGE}, UNIT_AMPERE},
};

/* The word or measure, with its unit; false: it is none. */
static bool find_word(const char *word, struct meter_reading *reading, enum unit *unit)
{
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(words[i].word, word) != 0) continue;
        *reading = words[i].reading;
        *unit = words[i].unit;
        return true;
    }
    enum measure measure = measure_find(word);
    *reading = (struct meter_reading){.measure = measure};
    *unit = measure_table[measure].unit;
    return measure != MEASURE_NONE;
}

/* `B+ to chassis`, `ohms` behind it or not. */
static bool read_ohms(const struct readings *r, struct reading_set *set, const struct pair *p)
{
    const char *to = strstr(p->key, " to "), *end = p->key + strlen(p->key);
    size_t n = (size_t)(end - p->key);
    if (n > 5 && strcmp(end - 5, " ohms") == 0) end -= 5;
    for (; to; to = strstr(to + 1, " to ")) {
        const char *plus = arena_text(r->arena, p->key, (size_t)(to - p->key));
        const char *minus = arena_text(r->arena, to + 4, (size_t)(end - to - 4));
        plus = trade_names_point(&r->points->known, plus);
        minus = trade_names_point(&r->points->known, minus);
        if (!is_point(r, plus) || !is_point(r, minus)) continue;
        if (suggest_has(&r->points->here, plus) && suggest_has(&r->points->here, minus))
            add(r, set, p,
                (struct meter_reading){.kind = READING_OHMS, .subject = plus, .minus = minus},
                UNIT_OHM);
        return true;
    }
    return false;
}

/* A name alone: the unit tells what was read. Old form: points in volts, parts in amperes. */
static void read_plain(const struct readings *r, struct reading_set *set, const struct pair *p)
{
    struct token t[QUANTITY_TOKENS];
    struct meter_reading probe = {.subject = p->key};
    int n;
    bool point = is_point(r, p->key);
    if (!read_value(r, p->value, p->key, &probe, t, &n) || n == 0 || !is_here(r, p->key)) return;
    bool fits = probe.unit == UNIT_VOLT ||
                (!point && (probe.unit == UNIT_AMPERE || probe.unit == UNIT_WATT));
    if (!fits) {
        refuse(r, p->value->at,
               point ? "a part is read in amperes, a point in volts"
                     : "a part is read in volts, amperes or watts; for others name the measure",
               arena_printf(r->arena, "`%s` is read in %s, not in %s", p->key,
                            point ? "volts" : "volts, amperes or watts",
                            quantity_kind(probe.unit)));
        return;
    }
    probe.alternating = strstr(p->value->text, " AC") != NULL;
    if (point && !probe.alternating) probe.measure = MEASURE_SETTLED_VOLTAGE;
    add(r, set, p, probe, probe.unit);
}

static void read_inner(const struct readings *r, struct reading_set *set, const char *subject,
                       const struct pair *p)
{
    struct meter_reading reading;
    enum unit unit;
    bool outlet = strcmp(subject, "mains") == 0 && strcmp(p->key, "voltage") == 0;
    if (find_word(outlet ? measure_table[MEASURE_RMS_VOLTAGE].name : p->key, &reading, &unit)) {
        reading.subject = subject;
        if (is_here(r, subject)) add(r, set, p, reading, unit);
        return;
    }
    suggest_words known = {0};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        array_push(r->arena, &known, words[i].word);
    for (int m = 1; m < MEASURES; m++) array_push(r->arena, &known, measure_table[m].name);
    diags_add(r->diags, DIAG_ERROR, p->at, suggest(r->arena, p->key, &known),
              "`%s` is nothing that can be read", p->key);
}

static void read_pair(const struct readings *r, struct reading_set *set,
                      const struct pair *as_written)
{
    struct pair named = *as_written, *p = &named;
    p->key = trade_names_point(&r->points->known, p->key);
    const char *blank = strrchr(p->key, ' ');
    struct meter_reading reading;
    enum unit unit;
    if (is_point(r, p->key) || is_part(r, p->key)) {
        bool map = p->value->kind == NODE_MAP;
        if (!map) read_plain(r, set, p);
        for (int i = 0; map && i < p->value->n; i++)
            read_inner(r, set, p->key, &p->value->pairs[i]);
        return;
    }
    if (read_ohms(r, set, p)) return;
    if ((strcmp(p->key, "line voltage") == 0 || strcmp(p->key, "mains voltage") == 0) &&
        is_part(r, "mains")) {
        add(r, set, p, (struct meter_reading){.subject = "mains", .measure = MEASURE_RMS_VOLTAGE},
            UNIT_VOLT);
        return;
    }
    const char *name = blank ? arena_text(r->arena, p->key, (size_t)(blank - p->key)) : NULL;
    if (name) name = trade_names_point(&r->points->known, name);
    if (!name || !find_word(blank + 1, &reading, &unit)) complain_name(r, p->at, p->key);
    else if (reading.kind == READING_FIGURE && unit != UNIT_VOLT && strcmp(name, "line") == 0 &&
             is_part(r, "mains")) {
        reading.subject = "mains"; /* as `line current` */
        add(r, set, p, reading, unit);
    } else if (!is_point(r, name) && !is_part(r, name)) complain_name(r, p->at, name);
    else {
        reading.subject = name;
        if (is_here(r, name)) add(r, set, p, reading, unit);
    }
}

/* ---- sets ---- */

static const char *text_of(const struct readings *r, const struct pair *p)
{
    if (p->value->kind == NODE_SCALAR && p->value->text[0]) return p->value->text;
    refuse(r, p->at, NULL, arena_printf(r->arena, "`%s` takes one line of text", p->key));
    return NULL;
}

static void read_number(const struct readings *r, const struct pair *p, enum unit unit,
                        double *value)
{
    struct complaint why;
    double x;
    const char *text = text_of(r, p);
    if (!text) return;
    if (!quantity_parse(text, unit, &x, &why))
        refuse(r, p->value->at, why.hint[0] ? why.hint : NULL, why.message);
    else if (!(x > 0)) refuse(r, p->value->at, NULL, "it must be above zero");
    else if (!bounds_hold(x, unit, &why)) refuse(r, p->value->at, why.hint, why.message);
    else *value = x;
}

static void read_out(const struct readings *r, struct reading_set *set, const struct pair *p)
{
    const struct node *list = p->value;
    for (int i = 0; i < (list->kind == NODE_LIST ? list->n : 1); i++) {
        const struct node *node = list->kind == NODE_LIST ? list->items[i] : list;
        if (node->kind == NODE_SCALAR && suggest_has(&r->parts->known, node->text))
            array_push(r->arena, &set->out, node->text);
        else complain_name(r, node->at, node->kind == NODE_SCALAR ? node->text : "");
    }
}

/* A day of the calendar, as ISO 8601 has it. */
static const char *read_date(const struct readings *r, const struct pair *p)
{
    const char *text = text_of(r, p);
    int year = 0, month = 0, day = 0, n = 0;
    if (!text) return NULL;
    if (sscanf(text, "%4d-%2d-%2d%n", &year, &month, &day, &n) == 3 && n == 10 && !text[n] &&
        year >= 1900 && month >= 1 && month <= 12 && day >= 1 && day <= 31)
        return text;
    refuse(r, p->value->at, "write it as in `date: 2026-11-28`",
           arena_printf(r->arena, "`%s` is no date", text));
    return NULL;
}

static void read_condition(const struct readings *r, struct reading_set *set, const struct pair *p)
{
    int key = 0;
    while (strcmp(condition_keys[key].name, p->key) != 0) key++;
    switch (key) {
    case CONDITION_NAME: set->name = text_of(r, p); break;
    case CONDITION_LINE: read_number(r, p, UNIT_VOLT, &set->line); break;
    case CONDITION_LAMP: set->lamp = text_of(r, p); break;
    case CONDITION_OUT: read_out(r, set, p); break;
    case CONDITION_DATE: set->date = read_date(r, p); break;
    default:
        read_number(r, p, UNIT_SECOND, &set->after);
        if (set->after < WARM)
            refuse(r, p->value->at, "wait a minute with the reading, or leave `after` out",
                   "readings are compared with what a warm set reads");
    }
}

/* `line: 112 V` is what the outlet had, though a point is called so: no lead reads direct volts
 * there. */
static bool is_outlet(const struct pair *p)
{
    return strcmp(p->key, condition_keys[CONDITION_LINE].name) == 0 &&
           p->value->kind == NODE_SCALAR;
}

static void read_set(const struct readings *r, const struct node *map, const char *name)
{
    struct reading_set set = {
        .name = name, .line = (double)NAN, .after = (double)NAN, .place = map->at};
    for (int i = 0; i < map->n; i++) {
        const struct pair *p = &map->pairs[i];
        const struct node *below = p->value;
        bool known = (is_point(r, p->key) || is_part(r, p->key)) && !is_outlet(p);
        if (!known && key_find(condition_keys, p->key)) read_condition(r, &set, p);
        else if (!known && strcmp(p->key, "noticed") == 0) noticed_read(r, below, &set);
        else if (!known && strcmp(p->key, "ohms") == 0 && below->kind == NODE_MAP)
            for (int k = 0; k < below->n; k++) {
                if (!read_ohms(r, &set, &below->pairs[k]))
                    refuse(r, below->pairs[k].at, "write it as in `B+ to chassis: 22 kohm`",
                           arena_printf(r->arena, "`%s` are no two points", below->pairs[k].key));
            }
        else read_pair(r, &set, p);
    }
    if (!set.name) set.name = name;
    array_push(r->arena, &r->measured->sets, set);
}

/* ---- the meter ---- */

static void read_meter_key(const struct readings *r, const struct pair *p, double *per_volt,
                           double *range)
{
    struct meter_used *m = &r->measured->meter;
    const char *text = text_of(r, p);
    struct token t[QUANTITY_TOKENS];
    struct complaint why = {"", ""};
    suggest_words known = {0};
    if (!text) return;
    if (strcmp(p->key, "resistance") == 0) read_number(r, p, UNIT_OHM, &m->ohms);
    else if (strcmp(p->key, "range") == 0) read_number(r, p, UNIT_VOLT, range);
    else if (strcmp(p->key, "DC") == 0) read_number(r, p, UNIT_PERCENT, &m->dc);
    else if (strcmp(p->key, "rated") == 0) read_number(r, p, UNIT_VOLT, &m->rated);
    else if (strcmp(p->key, "through capacitor") == 0) m->through = strcmp(text, "yes") == 0;
    else if (strcmp(p->key, "isolating transformer") == 0) m->isolated = strcmp(text, "yes") == 0;
    else if (strcmp(p->key, "sensitivity") == 0) {
        const char *slash = strstr(text, "/V");
        const char *ohms = slash ? trimmed(r->arena, text, (size_t)(slash - text)) : text;
        if (!slash || quantity_scan(ohms, t, &why) != 1 || t[0].is_word || t[0].unit != UNIT_OHM)
            refuse(r, p->value->at, "write it as in `sensitivity: 1 kohm/V`",
                   arena_printf(r->arena, "`%s` is no sensitivity", text));
        else if (!(t[0].value > 0)) refuse(r, p->value->at, NULL, "it must be above zero");
        else if (!bounds_hold(t[0].value, UNIT_OHM, &why))
            refuse(r, p->value->at, why.hint, why.message);
        else *per_volt = t[0].value;
    } else if (strcmp(p->key, "AC") == 0) {
        if (strcmp(text, "average") == 0 || strcmp(text, "RMS") == 0)
            m->average = strcmp(text, "average") == 0;
        else read_number(r, p, UNIT_PERCENT, &m->ac);
    } else {
        suggest_table(r->arena, &known, meter_keys);
        diags_add(r->diags, DIAG_ERROR, p->at, suggest(r->arena, p->key, &known),
                  "unknown key `%s`", p->key);
    }
}

static void read_meter(const struct readings *r, const struct pair *meter)
{
    struct meter_used *m = &r->measured->meter;
    double per_volt = (double)NAN, range = (double)NAN;
    *m = (struct meter_used){METER_OHMS, METER_DC, METER_AC, false, true, METER_RATED, false};
    for (int i = 0; meter && meter->value->kind == NODE_MAP && i < meter->value->n; i++)
        read_meter_key(r, &meter->value->pairs[i], &per_volt, &range);
    if (isnan(per_volt) && isnan(range)) return;
    if (isnan(per_volt) || isnan(range))
        refuse(r, meter->at, "write `meter: {sensitivity: 1 kohm/V, range: 500 V}`",
               "sensitivity and range of a meter go together");
    else m->ohms = per_volt * range;
}

void reading_sets_read(const struct readings *r, const struct scenario *s)
{
    const struct pair *measured = node_pair(s->root, "measured"),
                      *noticed = node_pair(s->root, "noticed");
    read_meter(r, node_pair(s->root, "meter"));
    if (measured && measured->value->kind == NODE_MAP) read_set(r, measured->value, "as found");
    for (int i = 0; measured && measured->value->kind == NODE_LIST && i < measured->value->n; i++) {
        const struct node *item = measured->value->items[i];
        const char *name = arena_printf(r->arena, "set %d", i + 1);
        if (item->kind == NODE_MAP) read_set(r, item, name);
        else
            refuse(r, item->at,
                   "write `- name: on the lamp`, below it `lamp: 60 W 120 V` and readings",
                   "a set of readings takes keys with values");
    }
    if (!noticed) return;
    if (r->measured->sets.n == 0)
        array_push(r->arena, &r->measured->sets,
                   (struct reading_set){.name = "as found",
                                        .line = (double)NAN,
                                        .after = (double)NAN,
                                        .place = noticed->at});
    noticed_read(r, noticed->value, &r->measured->sets.at[0]);
}
