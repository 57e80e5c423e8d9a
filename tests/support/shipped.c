/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "shipped.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "catalogue.h"

static int by_name(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

const char *const *shipped_names(struct arena *arena, int *n)
{
    static const char ending[] = ".yaml";
    const size_t tail = sizeof ending - 1;
    ARRAY(const char *) names = {0};
    DIR *folder = opendir(SOURCE_DIR "/scenarios");
    for (struct dirent *d; folder && (d = readdir(folder));) {
        size_t length = strlen(d->d_name);
        if (length > tail && strcmp(d->d_name + length - tail, ending) == 0)
            array_push(arena, &names, arena_text(arena, d->d_name, length - tail));
    }
    if (folder) closedir(folder);
    if (names.n) qsort(names.at, (size_t)names.n, sizeof names.at[0], by_name);
    *n = names.n;
    return names.at;
}

const struct scenario *shipped_scenario(struct arena *arena, const char *name)
{
    struct diags *diags = diags_new(arena);
    const struct catalogue *models = catalogue_read(arena, diags, SOURCE_DIR "/models");
    const char *path = arena_printf(arena, "%s/scenarios/%s.yaml", SOURCE_DIR, name);
    const struct scenario *s = models ? scenario_read(arena, diags, models, path) : NULL;
    if (!s) diags_print(diags, stderr);
    return s;
}

const struct setup *shipped_setup(struct arena *arena, const char *name, const char *variant)
{
    struct diags *diags = diags_new(arena);
    const struct scenario *s = shipped_scenario(arena, name);
    const struct setup *setup = s ? scenario_setup(arena, diags, s, variant) : NULL;
    if (s && !setup) diags_print(diags, stderr);
    return setup;
}
