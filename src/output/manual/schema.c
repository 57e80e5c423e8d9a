/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A value may be text, number or truth: what YAML makes of `8 uF`, `80` and `yes`. A part that a
 * variant only changes does not say its kind, so there any key of any kind is let through. */
#include "schema.h"

#include <string.h>

#include "json.h"
#include "scenario_keys.h"
#include "trade_names.h"

static const char plain[] = "[\"string\", \"number\", \"boolean\"]";

struct schema {
    struct json json;
    struct arena *arena;
    const struct catalogue *catalogue;
};

/* Tables of keys laid beside each other: own ones first. */
struct tables {
    const struct key *own, *common;
    const struct key_inner *inner;
};

static void put_keys(struct schema *s, struct tables t);

static void put_plain(struct json *j, const char *key)
{
    json_open(j, key, '{');
    json_bare(j, "type", plain);
    json_close(j, '}');
}

/* ---- one key ---- */

/* The name and what else the trade calls it, in a list that is open. */
static void put_names(struct json *j, const struct trade_name *others, const char *name)
{
    json_text(j, NULL, name);
    for (; others->name; others++)
        if (strcmp(others->name, name) == 0) json_text(j, NULL, others->other);
}

/* What YAML takes for truth counts as its word. */
static void put_words(struct schema *s, const struct key *k)
{
    struct json *j = &s->json;
    json_open(j, "enum", '[');
    for (int i = 0; key_word(s->arena, k, i); i++)
        put_names(j, trade_names_words, key_word(s->arena, k, i));
    json_text(j, NULL, "unknown");
    if (strcmp(key_word(s->arena, k, 0), "on") == 0) {
        json_bare(j, NULL, "true");
        json_bare(j, NULL, "false");
    }
    json_close(j, ']');
}

static void put_list(struct json *j)
{
    json_open(j, NULL, '{');
    json_text(j, "type", "array");
    put_plain(j, "items");
    json_close(j, '}');
}

static void put_map(struct schema *s, const struct key_inner *inner)
{
    struct json *j = &s->json;
    json_open(j, NULL, '{');
    json_text(j, "type", "object");
    if (inner && inner->named) {
        json_open(j, "additionalProperties", '{');
        put_keys(s, (struct tables){.own = inner->keys});
        json_close(j, '}');
    } else if (inner) put_keys(s, (struct tables){.own = inner->keys});
    json_close(j, '}');
}

static void put_key(struct schema *s, const struct key *k, const struct key_inner *inner)
{
    struct json *j = &s->json;
    json_open(j, k->name, '{');
    json_text(j, "description", k->takes);
    if (k->use & KEY_WORDS) put_words(s, k);
    else if (k->use & (KEY_LIST | KEY_MAP | KEY_OR_MAP)) {
        json_open(j, "anyOf", '[');
        if (!(k->use & KEY_MAP)) put_plain(j, NULL);
        if (k->use & KEY_LIST) put_list(j);
        if (k->use & (KEY_MAP | KEY_OR_MAP)) put_map(s, key_inside(inner, k->name));
        json_close(j, ']');
    } else json_bare(j, "type", plain);
    json_close(j, '}');
}

/* The keys of tables and no others. */
static void put_keys(struct schema *s, struct tables t)
{
    struct json *j = &s->json;
    json_text(j, "type", "object");
    json_open(j, "properties", '{');
    for (const struct key *k = t.own; k && k->name; k++) put_key(s, k, t.inner);
    for (const struct key *k = t.common; k && k->name; k++)
        if (!key_find(t.own, k->name) && strcmp(k->name, "type") != 0) put_key(s, k, NULL);
    json_close(j, '}');
    json_bare(j, "additionalProperties", "false");
}

/* ---- kinds ---- */

static void put_types(struct schema *s, const struct part_kind *kind)
{
    struct json *j = &s->json;
    bool any = false;
    json_open(j, "type", '{');
    json_text(j, "description", key_find(part_common_keys, "type")->takes);
    json_open(j, "anyOf", '[');
    put_plain(j, NULL);
    for (int i = 0; i < catalogue_count(s->catalogue) && !any; i++)
        any = part_kind_has_model(kind, catalogue_at(s->catalogue, i));
    if (any || kind->own_types) {
        json_open(j, NULL, '{');
        json_open(j, "enum", '[');
        for (int i = 0; kind->own_types && kind->own_types[i]; i++)
            json_text(j, NULL, kind->own_types[i]);
        for (int i = 0; i < catalogue_count(s->catalogue); i++)
            if (part_kind_has_model(kind, catalogue_at(s->catalogue, i)))
                json_text(j, NULL, catalogue_at(s->catalogue, i)->name);
        json_close(j, ']');
        json_close(j, '}');
    }
    json_close(j, ']');
    json_close(j, '}');
}

/* Whether some model of the kind gives the key. */
static bool modelled(const struct schema *s, const struct part_kind *kind, const char *key)
{
    for (int i = 0; i < catalogue_count(s->catalogue); i++) {
        const struct model *m = catalogue_at(s->catalogue, i);
        if (part_kind_has_model(kind, m) && node_get(m->values, key)) return true;
    }
    return false;
}

static bool has_other(const struct trade_name *others, const char *name)
{
    for (; others->name; others++)
        if (strcmp(others->name, name) == 0) return true;
    return false;
}

static void put_other_keys(struct schema *s, const struct part_kind *kind, const struct key *k)
{
    for (const struct trade_name *t = trade_names_keys; t->name; t++) {
        if (strcmp(t->name, k->name) != 0 || key_find(kind->keys, t->other)) continue;
        struct key other = *k;
        other.name = t->other;
        put_key(s, &other, kind->inner);
    }
}

static void put_required(struct json *j, const char *name)
{
    json_open(j, NULL, '{');
    json_open(j, "required", '[');
    json_text(j, NULL, name);
    json_close(j, ']');
    json_close(j, '}');
}

static bool needs(struct schema *s, const struct part_kind *kind, const struct key *k,
                  bool by_model)
{
    return k->use & KEY_NEEDED && (by_model || !modelled(s, kind, k->name));
}

/* Of a key that the trade calls by other names too, one of them. */
static void put_needed(struct schema *s, const struct part_kind *kind, bool by_model)
{
    struct json *j = &s->json;
    json_open(j, "required", '[');
    for (const struct key *k = kind->keys; k->name; k++)
        if (needs(s, kind, k, by_model) && !has_other(trade_names_keys, k->name))
            json_text(j, NULL, k->name);
    json_close(j, ']');
    json_open(j, "allOf", '[');
    json_bare(j, NULL, "true");
    for (const struct key *k = kind->keys; k->name; k++) {
        if (!needs(s, kind, k, by_model) || !has_other(trade_names_keys, k->name)) continue;
        json_open(j, NULL, '{');
        json_open(j, "anyOf", '[');
        put_required(j, k->name);
        for (const struct trade_name *t = trade_names_keys; t->name; t++)
            if (strcmp(t->name, k->name) == 0) put_required(j, t->other);
        json_close(j, ']');
        json_close(j, '}');
    }
    json_close(j, ']');
}

static void put_kind(struct schema *s, const struct part_kind *kind)
{
    struct json *j = &s->json;
    json_open(j, kind->name, '{');
    json_text(j, "description", kind->says);
    json_open(j, "properties", '{');
    put_types(s, kind);
    for (const struct key *k = kind->keys; k->name; k++) {
        put_key(s, k, kind->inner);
        put_other_keys(s, kind, k);
    }
    for (const struct key *k = part_common_keys; k->name; k++)
        if (!key_find(kind->keys, k->name) && strcmp(k->name, "type") != 0) put_key(s, k, NULL);
    json_close(j, '}');
    json_bare(j, "additionalProperties", "false");
    put_needed(s, kind, false);
    json_open(j, "anyOf", '[');
    json_bare(j, NULL, "{\"required\": [\"type\"]}");
    json_open(j, NULL, '{');
    put_needed(s, kind, true);
    json_close(j, '}');
    json_close(j, ']');
    json_close(j, '}');
}

static void put_ref(struct json *j, const char *key, const char *to)
{
    char path[80];
    snprintf(path, sizeof path, "#/definitions/%s", to);
    json_open(j, key, '{');
    json_text(j, "$ref", path);
    json_close(j, '}');
}

/* By what `is` says, the keys of that kind. */
static void put_by_kind(struct schema *s)
{
    struct json *j = &s->json;
    json_open(j, "allOf", '[');
    for (int i = 0; kinds_all[i]; i++) {
        json_open(j, NULL, '{');
        json_open(j, "if", '{');
        json_bare(j, "required", "[\"is\"]");
        json_open(j, "properties", '{');
        json_open(j, "is", '{');
        json_open(j, "enum", '[');
        put_names(j, trade_names_kinds, kinds_all[i]->name);
        json_close(j, ']');
        json_close(j, '}');
        json_close(j, '}');
        json_close(j, '}');
        put_ref(j, "then", kinds_all[i]->name);
        json_close(j, '}');
    }
    json_close(j, ']');
}

static void put_is(struct json *j)
{
    json_open(j, "is", '{');
    json_open(j, "enum", '[');
    for (int i = 0; kinds_all[i]; i++) put_names(j, trade_names_kinds, kinds_all[i]->name);
    json_close(j, ']');
    json_close(j, '}');
}

static void put_part(struct schema *s)
{
    struct json *j = &s->json;
    json_open(j, "part", '{');
    json_text(j, "type", "object");
    json_bare(j, "required", "[\"is\"]");
    json_open(j, "properties", '{');
    put_is(j);
    json_close(j, '}');
    put_by_kind(s);
    json_close(j, '}');
}

static bool seen_before(int kind, const char *key)
{
    if (key_find(part_common_keys, key)) return true;
    for (int i = 0; i < kind; i++)
        if (key_find(kinds_all[i]->keys, key)) return true;
    return false;
}

/* What a variant or a timed change says of a part. */
static void put_change(struct schema *s)
{
    struct json *j = &s->json;
    json_open(j, "change", '{');
    json_text(j, "type", "object");
    json_open(j, "properties", '{');
    put_is(j);
    for (const struct key *k = part_common_keys; k->name; k++)
        if (strcmp(k->name, "is") != 0) json_bare(j, k->name, "{}");
    for (int i = 0; kinds_all[i]; i++)
        for (const struct key *k = kinds_all[i]->keys; k->name; k++)
            if (!seen_before(i, k->name)) json_bare(j, k->name, "{}");
    for (const struct trade_name *t = trade_names_keys; t->name; t++) json_bare(j, t->other, "{}");
    json_close(j, '}');
    json_bare(j, "additionalProperties", "false");
    json_close(j, '}');
}

/* ---- the rest of the file ---- */

/* What stands in the plug: a value, or the keys of that kind of part. */
static void put_through(struct schema *s)
{
    struct json *j = &s->json;
    json_open(j, "through", '{');
    json_open(j, "anyOf", '[');
    put_plain(j, NULL);
    json_open(j, NULL, '{');
    json_text(j, "type", "object");
    json_open(j, "properties", '{');
    for (const struct key *k = through_keys; k->name; k++) {
        const struct part_kind *kind = kind_find(k->name);
        json_open(j, k->name, '{');
        json_text(j, "description", k->takes);
        json_open(j, "anyOf", '[');
        put_plain(j, NULL);
        json_open(j, NULL, '{');
        put_keys(s, (struct tables){kind->keys, part_common_keys, kind->inner});
        json_close(j, '}');
        json_close(j, ']');
        json_close(j, '}');
    }
    json_close(j, '}');
    json_bare(j, "additionalProperties", "false");
    json_close(j, '}');
    json_close(j, ']');
    json_close(j, '}');
}

static void put_mains(struct schema *s)
{
    struct json *j = &s->json;
    json_open(j, "mains", '{');
    json_text(j, "type", "object");
    json_open(j, "properties", '{');
    for (const struct key *k = mains_keys; k->name; k++)
        if (strcmp(k->name, "through") == 0) put_through(s);
        else put_key(s, k, NULL);
    for (const struct key *k = part_common_keys; k->name; k++) put_key(s, k, NULL);
    json_close(j, '}');
    json_bare(j, "additionalProperties", "false");
    json_close(j, '}');
}

static void put_table(struct schema *s, const char *name, const struct key keys[])
{
    json_open(&s->json, name, '{');
    put_keys(s, (struct tables){.own = keys});
    json_close(&s->json, '}');
}

/* Keys of tables and `at ...`; every other name is `others`. */
static void put_changing(struct schema *s, const struct key keys[], const char *others)
{
    struct json *j = &s->json;
    json_text(j, "type", "object");
    json_open(j, "properties", '{');
    for (const struct key *k = keys; k->name; k++) {
        bool map = strcmp(k->name, "mains") == 0 || strcmp(k->name, "run") == 0 ||
                   strcmp(k->name, "meter") == 0 || strcmp(k->name, "repair") == 0;
        if (map) put_ref(j, k->name, k->name);
        else if (strcmp(k->name, "parts") == 0 || strcmp(k->name, "variants") == 0) {
            json_open(j, k->name, '{');
            json_text(j, "description", k->takes);
            json_text(j, "type", "object");
            put_ref(j, "additionalProperties", strcmp(k->name, "parts") == 0 ? "part" : "variant");
            json_close(j, '}');
        } else put_key(s, k, NULL);
    }
    json_close(j, '}');
    json_open(j, "patternProperties", '{');
    put_ref(j, "^at( |$)", "timed");
    json_close(j, '}');
    if (others) put_ref(j, "additionalProperties", others);
    else json_bare(j, "additionalProperties", "false");
}

static void put_definitions(struct schema *s)
{
    static const struct key timed_keys[] = {{"mains", "", 0}, {NULL, NULL, 0}};
    struct json *j = &s->json;
    json_open(j, "definitions", '{');
    put_part(s);
    put_change(s);
    put_mains(s);
    put_table(s, "run", run_keys);
    put_table(s, "meter", meter_keys);
    put_table(s, "repair", repair_keys);
    json_open(j, "timed", '{');
    put_changing(s, timed_keys, "change");
    json_close(j, '}');
    json_open(j, "variant", '{');
    put_changing(s, variant_keys, "change");
    json_close(j, '}');
    for (int i = 0; kinds_all[i]; i++) put_kind(s, kinds_all[i]);
    json_close(j, '}');
}

void schema_write(FILE *to, struct arena *arena, const struct catalogue *catalogue)
{
    struct schema s = {.json = {.to = to}, .arena = arena, .catalogue = catalogue};
    struct json *j = &s.json;
    json_open(j, NULL, '{');
    json_text(j, "$schema", "http://json-schema.org/draft-07/schema#");
    json_text(j, "title", "presolder scenario");
    put_changing(&s, scenario_keys, NULL);
    json_bare(j, "required", "[\"format\", \"parts\"]");
    put_definitions(&s);
    json_close(j, '}');
}
