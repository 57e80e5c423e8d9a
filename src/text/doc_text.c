/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One pass over the bytes before the parser sees them: it knows only a byte offset for such
 * trouble, a person wants line and column. Accepted is what YAML 1.1 calls printable, so the
 * parser's reader has nothing left to refuse. */
#include "doc_impl.h"

#include <string.h>

#include "utf8.h"

/* Reads one character at `s`, of `left` bytes; 0 bytes when it is no UTF-8 (RFC 3629: shortest
 * form, no surrogates). */
static int decode(const unsigned char *s, size_t left, unsigned *code)
{
    static const unsigned least[] = {0, 0, 0x80, 0x800, 0x10000};
    int n = 0;
    if (s[0] < 0x80) n = 1;
    else if (s[0] >= 0xC0) n = s[0] < 0xE0 ? 2 : s[0] < 0xF0 ? 3 : s[0] < 0xF8 ? 4 : 0;
    if (n == 0 || (size_t)n > left) return 0;
    *code = n == 1 ? s[0] : s[0] & (0xFFU >> (n + 1));
    for (int i = 1; i < n; i++) {
        if (utf8_begins((char)s[i])) return 0;
        *code = *code << 6 | (s[i] & 0x3FU);
    }
    bool surrogate = *code >= 0xD800 && *code <= 0xDFFF;
    return *code < least[n] || *code > 0x10FFFF || surrogate ? 0 : n;
}

static bool is_printable(unsigned c)
{
    if (c < 0x20) return c == '\t' || c == '\n' || c == '\r';
    if (c < 0xA0) return c < 0x7F || c == 0x85;
    return c != 0xFEFF && c != 0xFFFE && c != 0xFFFF;
}

static bool is_break(unsigned c, const char *next)
{
    return c == '\n' || (c == '\r' && *next != '\n') || c == 0x85 || c == 0x2028 || c == 0x2029;
}

bool doc_check_text(const struct doc_source *source)
{
    static const char save_as[] = "save it as plain text in UTF-8";
    struct place at = {source->file, 0, 0};
    if (memchr(source->text, 0, source->bytes)) {
        diags_add(source->diags, DIAG_ERROR, at, save_as, "this is not a text file");
        return false;
    }
    at = (struct place){source->file, 1, 1};
    for (size_t i = 0; i < source->bytes;) {
        unsigned code = 0;
        int n = decode((const unsigned char *)source->text + i, source->bytes - i, &code);
        if (n == 0) {
            diags_add(source->diags, DIAG_ERROR, at, save_as, "this is not a text file in UTF-8");
            return false;
        }
        if (!is_printable(code)) {
            diags_add(source->diags, DIAG_ERROR, at, "take it out",
                      "there is a control character (U+%04X) here", code);
            return false;
        }
        i += (size_t)n;
        at.column++;
        if (is_break(code, source->text + i)) at.line++, at.column = 1;
    }
    return true;
}
