/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The source tree comes before the installed place, so that a build runs with the data it was built
 * from. */
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "scenario.h"

static bool has_models(struct arena *arena, const char *folder)
{
    struct stat about;
    const char *models = arena_printf(arena, "%s/models", folder);
    return stat(models, &about) == 0 && S_ISDIR(about.st_mode);
}

const char *scenario_data_folder(struct arena *arena)
{
    const char *const places[] = {getenv("PRESOLDER_DATA"), PRESOLDER_SOURCE_DATA,
                                  PRESOLDER_INSTALLED_DATA};
    for (int i = 0; i < 3; i++)
        if (places[i] && places[i][0] && has_models(arena, places[i]))
            return arena_text(arena, places[i], strlen(places[i]));
    return NULL;
}
