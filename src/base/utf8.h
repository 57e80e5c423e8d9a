/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef PRESOLDER_UTF8_H
#define PRESOLDER_UTF8_H

#include <stdbool.h>
#include <stddef.h>

/* Names may be in any script; a column of a page or a character of a label is a code point. */

/* False for the second and further bytes of a code point (RFC 3629). */
static inline bool utf8_begins(char c)
{
    return ((unsigned char)c & 0xC0) != 0x80;
}

/* Code points in the first `bytes` bytes of `text`. */
static inline int utf8_count(const char *text, size_t bytes)
{
    int n = 0;
    for (size_t i = 0; i < bytes; i++) n += utf8_begins(text[i]);
    return n;
}

/* Bytes of the first `most` code points of `text`, or of all where it has fewer. */
static inline size_t utf8_bytes(const char *text, size_t most)
{
    size_t i = 0;
    while (text[i] && (most > 0 || !utf8_begins(text[i]))) most -= utf8_begins(text[i++]);
    return i;
}

#endif
