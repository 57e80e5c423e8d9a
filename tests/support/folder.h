/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_FOLDER_H
#define PRESOLDER_FOLDER_H

#include <stdbool.h>

/* A folder of its own for a test, and what lies in it. Texts are valid until the next call of the
 * same function; a test that cannot go on fails. */

/* Makes it; and removes it with everything in it. */
void folder_make(void);
void folder_remove(void);

/* The path of a name in it; "" gives the folder itself. */
const char *folder_path(const char *name);

/* Writes a file. */
void folder_put(const char *name, const char *text);

/* The whole text of a file; NULL when there is none. */
const char *folder_get(const char *name);

bool folder_has(const char *name);

/* How many entries a folder in it holds, hidden ones too; -1: no such folder. */
int folder_count(const char *name);

#endif
