/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_DOC_IMPL_H
#define PRESOLDER_DOC_IMPL_H

/* Inside the text layer only: what doc.c leaves to its neighbours. */

#include <yaml.h>

#include "doc.h"

/* A text being read. `text` ends with a 0, begins behind a byte order mark, outlives the nodes. */
struct doc_source {
    struct diags *diags;
    const char *file; /* for messages */
    const char *text;
    size_t bytes; /* without the final 0 */
};

/* Checks that the bytes are UTF-8 text without control characters; otherwise one diagnostic and
 * false. */
bool doc_check_text(const struct doc_source *source);

/* Turns the parser's own complaint into one diagnostic in plain words. */
void doc_complain_syntax(const struct doc_source *source, const yaml_parser_t *parser);

/* A mark of the parser (counted from 0) as a place. */
struct place doc_place(const struct doc_source *source, yaml_mark_t mark);

#endif
