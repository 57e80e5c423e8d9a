/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "words_status.h"

#include <assert.h>

const char *words_status(enum status status)
{
    static const char *const texts[STATUS_COUNT] = {
        [STATUS_OK] = "done",
        [STATUS_OVER_RATING] = "a rating is exceeded",
        [STATUS_USAGE] = "wrong usage",
        [STATUS_SCENARIO] = "the scenario or a model is wrong",
        [STATUS_SOLUTION] = "the solution failed",
        [STATUS_WRITE] = "cannot write",
        [STATUS_INTERRUPTED] = "interrupted",
    };
    assert((unsigned)status < STATUS_COUNT);
    return texts[status];
}
