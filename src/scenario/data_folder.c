/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The program knows no folder by name but the one it was to be installed to: an installed tree may
 * be moved as a whole, and two builds of one source in different folders are the same bytes. */
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "scenario.h"

enum { PATH_BYTES = 4096 };

static bool has_models(struct arena *arena, const char *folder)
{
    struct stat about;
    const char *models = arena_printf(arena, "%s/models", folder);
    return stat(models, &about) == 0 && S_ISDIR(about.st_mode);
}

/* What a link points to; NULL: it is none, or its text is longer than any path. */
static const char *target(struct arena *arena, const char *link)
{
    char path[PATH_BYTES];
    ssize_t n = readlink(link, path, sizeof path);
    return n > 0 && n < PATH_BYTES ? arena_text(arena, path, (size_t)n) : NULL;
}

/* The folder `way` as seen from `folder`, with each leading `..` taken at its word. */
static const char *seen_from(struct arena *arena, const char *folder, const char *way)
{
    size_t n = strlen(folder);
    for (; strncmp(way, "../", 3) == 0; way += 3)
        while (n > 0 && folder[--n] != '/') continue;
    return arena_printf(arena, "%.*s/%s", (int)n, folder, way);
}

const char *scenario_data_folder(struct arena *arena)
{
    const char *places[] = {getenv("PRESOLDER_DATA"), NULL, NULL, PRESOLDER_INSTALLED_DATA};
    const char *self = target(arena, "/proc/self/exe"), *end = self ? strrchr(self, '/') : NULL;
    if (end) {
        const char *folder = arena_text(arena, self, (size_t)(end - self));
        places[1] = seen_from(arena, folder, PRESOLDER_DATA_FROM_PROGRAM);
        places[2] = target(arena, arena_printf(arena, "%s/presolder-data", folder));
    }
    for (int i = 0; i < (int)(sizeof places / sizeof places[0]); i++)
        if (places[i] && places[i][0] && has_models(arena, places[i]))
            return arena_text(arena, places[i], strlen(places[i]));
    return NULL;
}
