/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_WORDS_PARTS_H
#define PRESOLDER_WORDS_PARTS_H

/* The catalogue. */

static const char words_parts_keys[] = "  keys:";
static const char words_parts_needed[] = " (needed)";
static const char words_parts_models[] = "  models:\n";
static const char words_parts_more[] =
    "\n`presolder parts NAME` shows a model with all its values and their sources.\n";
static const char words_parts_lists[] = "`presolder parts` lists them all";
static const char words_parts_unknown[] = "the catalogue has no model and no kind `%s`";

/* Heading of the sizes that are read; each: unit in words, least, most. */
static const char words_parts_bounds[] =
    "  values are read between (apart from 0; a key may allow less):";
static const char words_parts_bound[] = "%s%s %s to %s";

/* Heading of the faults of a kind; behind the name of a dangerous one; a severity: key, least, most,
 * ` of ` and of what (or nothing), usual. */
static const char words_parts_faults[] = "  faults:";
static const char words_parts_dangerous[] = " (dangerous)";
static const char words_parts_severity[] = "%s: %s to %s%s%s, usually %s";
static const char words_parts_of[] = " of ";

/* Heading of the table of sources, one of its rows and its last: a file or `all`, then how many
 * values: read, second hand, derived, from memory; and the share of the last in per cent. */
static const char words_parts_sources[] =
    "                               read  second hand  derived  memory\n";
static const char words_parts_grades[] = "%-27s %7d      %7d  %7d %7d\n";
static const char words_parts_sources_note[] =
    "read: in the maker's own sheet. second hand: in a page or list that quotes sheets. "
    "derived: by arithmetic from others, or typical of the kind. memory: written down from memory; "
    "look it up before you rely on it. %.0f\x1f%% of the values are from memory.";

#endif
