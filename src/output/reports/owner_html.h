/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_OWNER_HTML_H
#define PRESOLDER_OWNER_HTML_H

#include "report_html.h"

/* The page that goes back with the set, one sheet of paper: what `repair:` says, old parts left in,
 * the first set of `measured:` beside the last one, blanks for what is measured at the end and for
 * the bill. What is not known is a blank to write in. Of the report's first set of variants;
 * written as the file `name`. */
void owner_html_write(struct writer *w, struct arena *arena, const char *name,
                      const struct scenario *s, const struct report *report);

#endif
