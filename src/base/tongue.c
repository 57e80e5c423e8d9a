/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "tongue.h"

#include <stddef.h>

static bool in_the_uk;

void tongue_set(bool uk)
{
    in_the_uk = uk;
}

bool tongue_uk(void)
{
    return in_the_uk;
}

const char *tongue_says(struct tongue text)
{
    return in_the_uk && text.uk ? text.uk : text.us;
}
