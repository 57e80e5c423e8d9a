/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "status.h"

#include <assert.h>

int status_exit_code(enum status status)
{
#define STATUS_CODE(name, code) [name] = code,
    static const int codes[] = {STATUS_LIST(STATUS_CODE)};
#undef STATUS_CODE
    assert((unsigned)status < STATUS_COUNT);
    return codes[status];
}
