/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Common usage, no source. */
#include "words_uk.h"

#include <ctype.h>
#include <stdbool.h>
#include <string.h>

/* Longer ones before those they begin with. */
static const struct {
    const char *us, *uk;
} pairs[] = {{"first filter capacitor", "reservoir capacitor"},
             {"first capacitor", "reservoir"},
             {"filter capacitors", "smoothing capacitors"},
             {"filter capacitor", "smoothing capacitor"},
             {"filter choke", "smoothing choke"},
             {"power transformer", "mains transformer"},
             {"field-coil speaker", "mains-energised speaker"},
             {"ground-fault breaker", "residual-current breaker"},
             {"first ripple", "reservoir ripple"},
             {"first filter", "reservoir"},
             {"second filter", "second smoothing"},
             {"between the lines", "across the mains"},
             {"from line to", "from mains to"},
             {"line and chassis", "mains and chassis"},
             {"line and readings", "mains and readings"},
             {"line voltage", "mains voltage"},
             {"line current", "mains current"},
             {"line amperes", "mains amperes"},
             {"line capacitor", "mains capacitor"},
             {"line capacitors", "mains capacitors"},
             {"line power", "mains power"},
             {"line watts", "mains watts"},
             {"line fuse", "mains fuse"},
             {"line cords", "mains leads"},
             {"line cord", "mains lead"},
             {"line leads", "mains leads"},
             {"line with", "mains with"},
             {"line mA", "mains mA"},
             {"line W", "mains W"},
             {"line at", "mains at"},
             {"line +", "mains +"},
             {"a line of", "mains of"},
             {"a low line", "low mains"},
             {"the line", "the mains"},
             {"full line", "full mains"},
             {"bare line", "bare mains"},
             {"cord, plug", "lead, plug"},
             {"outlet", "mains socket"},
             {"mains socket", "mains socket"}, /* its socket is no valveholder */
             {"sockets", "valveholders"},
             {"socket", "valveholder"},
             {"tubes", "valves"},
             {"tube", "valve"},
             {"plates", "anodes"},
             {"plate", "anode"},
             {"B+", "HT"}};

/* Bytes at `p` that are `what`, its first letter large or small, and no part of a longer word. */
static size_t is_word(const char *text, const char *p, const char *what)
{
    size_t n = strlen(what);
    if (p > text && isalnum((unsigned char)p[-1])) return 0;
    if (tolower((unsigned char)*p) != tolower((unsigned char)*what)) return 0;
    for (size_t i = 1; i < n; i++) {
        char c = p[i] == '\x1f' ? ' ' : p[i];
        if (c != what[i]) return 0;
    }
    bool goes_on = isalnum((unsigned char)what[n - 1]) && isalnum((unsigned char)p[n]);
    return goes_on ? 0 : n;
}

static size_t own_name(const char *text, const char *p, const char *const *names)
{
    size_t most = 0;
    for (; *names; names++) {
        size_t n = strlen(*names);
        bool begins = p == text || !isalnum((unsigned char)p[-1]);
        if (n <= most || !begins || strncmp(p, *names, n) != 0) continue;
        if (!isalnum((unsigned char)p[n])) most = n;
    }
    return most;
}

const char *words_uk(struct arena *arena, const char *const *names, const char *text)
{
    const char *said = "", *kept = text; /* from `kept` on nothing is said yet */
    for (const char *p = text; *p;) {
        size_t skip = own_name(text, p, names);
        const char *end = *p == '`' ? strchr(p + 1, '`') : NULL;
        if (end) skip = (size_t)(end - p) + 1;
        for (size_t i = 0; i < sizeof pairs / sizeof pairs[0] && !end; i++) {
            size_t n = is_word(text, p, pairs[i].us);
            if (n <= skip) continue; /* a longer name of the user's is not touched */
            char *uk = arena_text(arena, pairs[i].uk, strlen(pairs[i].uk));
            if (isupper((unsigned char)*p)) *uk = (char)toupper((unsigned char)*uk);
            said = arena_printf(arena, "%s%.*s%s", said, (int)(p - kept), kept, uk);
            kept = p + n;
            skip = n;
            break;
        }
        p += skip ? skip : 1;
    }
    return kept == text ? text : arena_printf(arena, "%s%s", said, kept);
}
