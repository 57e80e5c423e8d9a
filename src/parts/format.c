/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A file of another version is not looked at any further: what its keys mean there is not known
 * here. */
#include "format.h"

#include <stdio.h>
#include <string.h>

bool format_check(struct arena *arena, struct diags *diags, const struct node *root,
                  const char *what)
{
    const char *hint = arena_printf(arena, "the first line is `format: %d`", FORMAT_VERSION);
    if (root->kind != NODE_MAP) {
        diags_add(diags, DIAG_ERROR, root->at, hint, "this is not %s: no `key: value` is found",
                  what);
        return false;
    }
    const struct pair *format = node_pair(root, "format");
    if (!format) {
        diags_add(diags, DIAG_ERROR, root->at, hint,
                  "`format` is missing; this program reads format %d", FORMAT_VERSION);
        return false;
    }
    char version[16];
    snprintf(version, sizeof version, "%d", FORMAT_VERSION);
    const struct node *value = format->value;
    if (value->kind == NODE_SCALAR && strcmp(value->text, version) == 0) return true;
    const char *found = value->kind == NODE_SCALAR ? value->text : "not one number";
    diags_add(diags, DIAG_ERROR, value->at, hint,
              "this file is of format `%s`; this program reads format %d", found, FORMAT_VERSION);
    return false;
}
