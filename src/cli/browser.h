/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_BROWSER_H
#define PRESOLDER_BROWSER_H

#include <stdbool.h>

/* The page that the program runs in, where it does: it draws pictures itself, is told how far the
 * work is (a share of it), and may want it to end. */

#ifdef PRESOLDER_PAGE

enum { IN_BROWSER = 1 };
void browser_progress(double done); /* src/page/hook.js */
bool browser_stopped(void);

#else

enum { IN_BROWSER = 0 };
static inline void browser_progress(double done)
{
    (void)done;
}
static inline bool browser_stopped(void)
{
    return false;
}

#endif

#endif
