/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Both functions read tables made from the one list in the header. */
#include "status.h"

#include <assert.h>

int status_exit_code(enum status status)
{
#define STATUS_CODE(name, code, text) [name] = code,
    static const int codes[] = {STATUS_LIST(STATUS_CODE)};
#undef STATUS_CODE
    assert((unsigned)status < STATUS_COUNT);
    return codes[status];
}

const char *status_text(enum status status)
{
#define STATUS_WORDS(name, code, text) [name] = text,
    static const char *const texts[] = {STATUS_LIST(STATUS_WORDS)};
#undef STATUS_WORDS
    assert((unsigned)status < STATUS_COUNT);
    return texts[status];
}
