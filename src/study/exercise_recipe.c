/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "exercise_recipe.h"

#include <stdlib.h>
#include <string.h>

#include "doc.h"
#include "hint.h"

static const char *const keys[] = {"scenario", "fault", "level", "seed", "pupils"};
enum { KEYS = sizeof keys / sizeof keys[0] };

static void check_keys(struct arena *arena, struct diags *diags, const struct node *map)
{
    for (int i = 0; i < map->n; i++) {
        const struct pair *pair = &map->pairs[i];
        bool known = false;
        for (int k = 0; k < KEYS; k++) known |= strcmp(pair->key, keys[k]) == 0;
        if (known) continue;
        const char *near = hint_nearest(pair->key, keys, KEYS);
        diags_add(diags, DIAG_ERROR, pair->at,
                  near ? arena_printf(arena, "did you mean `%s`?", near)
                       : "it takes scenario, fault, level, seed, pupils",
                  "an exercise has no key `%s`", pair->key);
    }
}

static const char *word(struct diags *diags, const struct node *map, const char *key)
{
    const struct node *node = node_get(map, key);
    if (!node) return NULL;
    if (node->kind == NODE_SCALAR && node->text[0]) return node->text;
    diags_add(diags, DIAG_ERROR, node->at, NULL, "`%s` takes one word or number", key);
    return NULL;
}

static int count(struct diags *diags, const struct node *map, const char *key)
{
    const char *text = word(diags, map, key);
    if (!text) return 0;
    size_t n = strspn(text, "0123456789");
    if (n > 0 && n <= 4 && !text[n] && atoi(text) > 0) return atoi(text);
    diags_add(diags, DIAG_ERROR, node_get(map, key)->at, NULL,
              "`%s` takes a whole number from 1 to 9999, not `%s`", key, text);
    return 0;
}

bool exercise_recipe_read(struct arena *arena, struct diags *diags, const char *path,
                          struct exercise_recipe *recipe)
{
    const int errors = diags_errors(diags);
    *recipe = (struct exercise_recipe){.scenario = path};
    const struct node *doc = doc_read(arena, diags, path), *map = node_get(doc, "exercise");
    if (!doc) return false;
    if (!map) return true;
    if (map->kind != NODE_MAP) {
        diags_add(diags, DIAG_ERROR, map->at, "exercise: {scenario: set.yaml, level: 1, seed: 3}",
                  "`exercise` takes keys and values");
        return false;
    }
    check_keys(arena, diags, map);
    const char *scenario = word(diags, map, "scenario"), *slash = strrchr(path, '/');
    if (!node_get(map, "scenario"))
        diags_add(diags, DIAG_ERROR, map->at, "scenario: ../field-coil.yaml",
                  "an exercise needs a scenario");
    else if (scenario)
        recipe->scenario =
            scenario[0] == '/' || !slash
                ? scenario
                : arena_printf(arena, "%.*s/%s", (int)(slash - path), path, scenario);
    recipe->fault = word(diags, map, "fault");
    recipe->level = count(diags, map, "level");
    recipe->seed = count(diags, map, "seed");
    recipe->pupils = count(diags, map, "pupils");
    return diags_errors(diags) == errors;
}
