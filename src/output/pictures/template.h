/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_TEMPLATE_H
#define PRESOLDER_TEMPLATE_H

#include <stdbool.h>

#include "diag.h"
#include "writer.h"

/* Texts with blanks to fill in. A template is copied line by line;
 *
 *     @NAME@             stands for the value of that name
 *     @@                 stands for one @
 *     @for LIST@         a line of its own: the lines up to its @end@ are written once for every
 * row
 *     @end@              of the list, in which the row's values are known as well
 *     @include FILE@     a line of its own: another template of the same folder
 *     @# words           a line of its own: a remark that is not copied
 *
 * Values are never looked at again, whatever they hold. */

/* The values of one template, or of one row of a list in it. */
struct fill;

struct fill *template_new(struct arena *arena);

/* A value as it is; texts are copied. A name set twice holds the later value. */
void template_text(struct fill *fill, const char *name, const char *text);

/* A text of the user's as a string of gnuplot, of which it shows every letter and obeys none;
 * control characters become blanks. */
void template_quoted(struct fill *fill, const char *name, const char *text);

/* A number with 9 significant digits and a decimal point. */
void template_number(struct fill *fill, const char *name, double value);

/* Makes the list known, without rows when it is new. */
void template_list(struct fill *fill, const char *list);

/* Adds a row to a list and returns it. */
struct fill *template_row(struct fill *fill, const char *list);

/* Writes the template `folder`/`file` into the running file of `w`. False when it cannot be read,
 * or a name or mark in it is unknown: these are errors in `diags` with their position. */
bool template_write(struct writer *w, struct diags *diags, const char *folder, const char *file,
                    const struct fill *fill);

#endif
