/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a diagnosis never proposes. The rules are common practice, no source: dead before live; at
 * full line nothing while a short or an overload leads; no lead at a rectifier's plates or socket
 * under power, none in an opened lead, none at more volts than meter and leads may meet, counting
 * those before the tubes draw; a set without a transformer only behind an isolating one. Sets are
 * invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>

#include "diagnose.h"
#include "shipped.h"
#include "shop.h"

static struct arena *arena;

static int open_shop(void **state)
{
    int bad = shop_open(state);
    arena = shop_arena();
    return bad;
}

static const struct diagnosis *diagnose_text(const char *text)
{
    const struct responses_options options = {.jobs = 2};
    const struct diagnosis *d =
        diagnose(arena, diags_new(arena), shop_scenario(text), NULL, NULL, &options);
    assert_int_equal(d->status, STATUS_OK);
    return d;
}

static int proposed(const struct diagnosis *d, enum diagnose_class class)
{
    int n = 0;
    for (int i = 0; i < d->nexts; i++) n += d->r.q.reads.at[d->next[i].read].class == class;
    return n;
}

/* ---- of every set that comes with the program ---- */

static bool of_rectifier(const struct set *set, const char *subject)
{
    const struct part *part = set_find(set, arena_text(arena, subject, strcspn(subject, ".")));
    return part && part_is(part, ROLE_RECTIFIER);
}

/* Between a rectifier's plate and what feeds it no filter capacitor stands: of the doubler's points
 * and those of the shipped sets called plates none may be asked for. */
static void never_at_a_rectifier_nor_in_a_lead(void **state)
{
    (void)state;
    int n, live = 0;
    const char *const *names = shipped_names(arena, &n);
    for (int k = 0; k < n; k++) {
        const struct setup *setup = shipped_setup(arena, names[k], NULL);
        const struct set *set = setup->stages.at[0].set;
        struct questions q = questions_of(arena, setup, NULL);
        questions_add_next(arena, &q, setup);
        for (int i = q.read; i < q.reads.n; i++) {
            const struct read *r = &q.reads.at[i];
            if (r->class == CLASS_DEAD) continue;
            live++;
            assert_false(of_rectifier(set, r->what.subject));
            assert_null(strstr(r->what.subject, "plate"));
            if (r->unit == UNIT_VOLT) continue;
            assert_string_equal(r->what.subject, "mains"); /* between plug and outlet */
            assert_true(set->line_volts > 90);
        }
        for (int i = 0; i < q.situations.n; i++) /* nothing is unplugged for it */
            assert_true(!q.situations.at[i].set || q.situations.at[i].set->out.n == 0);
    }
    assert_true(n >= 10 && live > 8 * n);
}

/* Without heaters of other tubes only those of the rectifier are there to be read: they are not. */
static const char rectifier_alone[] =
    "format: 1\nreference: B-\n"
    "mains: {voltage: 117 V, frequency: 60 Hz, across: [line, B-]}\nrun: {for: 1 s}\nparts:\n"
    "  V1: {is: rectifier, type: 35Z5-GT, plates: [tap], cathode: first filter}\n"
    "  lamp section: {is: heater, across: [line, tap], rated: 7.5 V 0.15 A, of: V1}\n"
    "  other section: {is: heater, across: [tap, drop], rated: 27.5 V 0.15 A, of: V1}\n"
    "  R1: {is: resistor, across: [drop, B-], resistance: 547 ohm}\n"
    "  C1: {is: capacitor, across: [first filter, B-], value: 40 uF, rated: 150 V}\n"
    "  C2: {is: capacitor, across: [B+, B-], value: 40 uF, rated: 150 V}\n"
    "  R2: {is: resistor, across: [first filter, B+], resistance: 1 kohm}\n"
    "  tubes: {is: load, across: [B+, B-], draws: 20 mA at 90 V, like: resistance}\n";

static void never_the_rectifiers_heater(void **state)
{
    (void)state;
    const struct setup *setup = shop_setup(rectifier_alone, NULL);
    struct questions q = questions_of(arena, setup, NULL);
    questions_add_next(arena, &q, setup);
    assert_true(q.reads.n > 4);
    for (int i = 0; i < q.reads.n; i++) assert_null(strstr(q.reads.at[i].what.subject, "section"));
}

/* ---- of what is proposed ---- */

/* What is proposed at points under power with this meter. */
static int volts_proposed(const char *meter, const char **reads)
{
    const struct diagnosis *d = diagnose_text(
        arena_printf(arena, "%smeter: {%s}\nmeasured: {mains: 0.3 A}\n", shop_choke_set, meter));
    int n = 0;
    *reads = "";
    for (int i = 0; i < d->nexts; i++) {
        const struct read *r = &d->r.q.reads.at[d->next[i].read];
        if (r->class == CLASS_DEAD || r->unit != UNIT_VOLT || question_by_plug(r)) continue;
        n += strstr(r->what.subject, "heaters") == NULL;
        *reads = arena_printf(arena, "%s [%s]", *reads, r->label);
    }
    return n;
}

/* The first filter runs at some 300 V, direct or with its ripple, and at 400 V before the tubes
 * draw: a meter for 350 V stays away from both. */
static void never_beyond_the_meter(void **state)
{
    (void)state;
    const char *reads;
    int any = volts_proposed("rated: 1000 V", &reads);
    if (any == 0) fail_msg("nothing at a point even with a meter for 1000 V:%s", reads);
    if (volts_proposed("rated: 350 V", &reads) > 0) fail_msg("beyond the meter:%s", reads);
}

static void dead_while_a_short_leads(void **state)
{
    (void)state;
    const struct diagnosis *d = diagnose_text(
        arena_printf(arena, "%smeasured: {B+: 3 V, first filter: 190 V}\n", shop_choke_set));
    assert_int_equal(d->limit, NEXT_NO_FULL_LINE);
    assert_int_equal(proposed(d, CLASS_LINE), 0);
    if (d->nexts > 0) assert_int_equal(d->r.q.reads.at[d->next[0].read].class, CLASS_DEAD);
}

static void isolated_first(void **state)
{
    (void)state;
    const char *measured = "measured: {B+: 62 V}\n";
    const struct diagnosis *d =
        diagnose_text(arena_printf(arena, "%s%s", rectifier_alone, measured));
    assert_int_equal(d->limit, NEXT_NOT_ISOLATED);
    assert_int_equal(proposed(d, CLASS_LINE) + proposed(d, CLASS_LAMP), 0);
    d = diagnose_text(arena_printf(arena, "%smeter: {isolating transformer: yes}\n%s",
                                   rectifier_alone, measured));
    assert_int_not_equal(d->limit, NEXT_NOT_ISOLATED);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(never_at_a_rectifier_nor_in_a_lead),
        cmocka_unit_test(never_the_rectifiers_heater),
        cmocka_unit_test(never_beyond_the_meter),
        cmocka_unit_test(dead_while_a_short_leads),
        cmocka_unit_test(isolated_first),
    };
    return cmocka_run_group_tests(tests, open_shop, shop_close);
}
