/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What readings of the healthy set tell of its tolerances, against linear regression with a normal
 * prior (derived), and what that does to a diagnosis. All sets are invented. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "diagnose.h"
#include "diagnose_table.h"
#include "match_healthy.h"
#include "near.h"
#include "numbers.h"
#include "readings.h"
#include "shipped.h"
#include "shop.h"

static const struct responses_options two = {.jobs = 2};

static const struct match *matched(const struct scenario *s)
{
    struct diags *diags = diags_new(shop_arena());
    const struct match *m = match_healthy(shop_arena(), diags, s, NULL, &two);
    diags_print(diags, stderr);
    assert_int_equal(m->status, STATUS_OK);
    return m;
}

/* Half the line's volts: a tenth of either resistor moves them as a twentieth of the line does, so
 * all three have the same slope s for a standard deviation. Of z each is s x / (3 s^2 + D), and
 * s^2 / (3 s^2 + D) of its variance goes; D is the meter's 5 % and the model's 2 %, and the floor. */
static void divider_against_its_regression(void **state)
{
    static const double read[] = {58.5, 57.5};
    const double volts = 58.5, s = volts * 0.05 / sqrt(3);
    const double floor = diagnose_floor(UNIT_VOLT) + DIAGNOSE_FLOOR * volts;
    const double error = (sq(0.05) + sq(DIAGNOSE_MODEL)) * sq(volts) + sq(floor);
    const double all = 3 * sq(s) + error;
    (void)state;
    for (int k = 0; k < 2; k++) {
        const struct match *m = matched(shop_scenario(arena_printf(
            shop_arena(),
            "format: 1\nreference: neutral\n"
            "mains: {voltage: 117 V +-5 %%, frequency: 60 Hz, resistance: 0 ohm, closes at: zero}\n"
            "parts:\n"
            "  R1: {is: resistor, across: [line, out], resistance: 1 kohm +-10 %%}\n"
            "  R2: {is: resistor, across: [out, neutral], resistance: 1 kohm +-10 %%}\n"
            "measured: {out: {AC: %g V}}\n",
            read[k])));
        const struct known *known = &m->known;
        assert_int_equal(m->values.n, 3);
        assert_int_equal(known->n, 3);
        for (int i = 0; i < 3; i++) {
            const struct match_value *v = &m->values.at[i];
            const double z = s * (read[k] - volts) / all;
            double variance = 0;
            near_abs(sq(v->left), 1 - sq(s) / all, 8e-3, ""); /* a slope is of a whole deviation */
            for (int j = 0; j <= i; j++) variance += sq(known->factor[i * 3 + j]);
            near_rel(variance, sq(v->left), 1e-9, "");
            /* nothing of it alone, as much of all: the readings leave it where it is */
            assert_true(v->left >= MATCH_UNKNOWN);
            near_abs(v->now, v->value->value, 0, "");
            near_abs(fabs(known->shift[i]), fabs(z), 5e-3, "");
            for (int j = 0; j < i; j++) {
                double together = 0;
                for (int l = 0; l <= j; l++)
                    together += known->factor[i * 3 + l] * known->factor[j * 3 + l];
                near_abs(fabs(together), sq(s) / all, 8e-3, "");
            }
        }
        near_rel(m->chance, erfc(fabs(read[k] - volts) / sqrt(2 * all)), 5e-3, "");
    }
}

static const struct scenario *field_coil(const char *b_plus, const char *first)
{
    static const char *const name[] = {"B+ DC", "first filter DC"};
    const char *value[] = {b_plus, first};
    return readings_instead(shop_arena(), shipped_scenario(shop_arena(), "field-coil"), 2, name,
                            name, value);
}

static double share_of_sound(const struct known *known)
{
    struct responses_options options = two;
    options.known = known;
    const struct diagnosis *d = diagnose(shop_arena(), diags_new(shop_arena()),
                                         field_coil("205 V", "320 V"), NULL, NULL, &options);
    assert_int_equal(d->status, STATUS_OK);
    return d->of[0].share;
}

/* What the tolerances of a set would excuse, those of one that once read as it should do not. */
static void healthy_set_excuses_less(void **state)
{
    (void)state;
    const struct match *m = matched(field_coil("231 V", "342 V"));
    assert_true(m->chance > 0.5);
    double without = share_of_sound(NULL), with = share_of_sound(&m->known);
    print_message("share of `no fault found`: %.3f, with readings of the healthy set %.3f\n",
                  without, with);
    assert_true(with < without / 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(divider_against_its_regression),
        cmocka_unit_test(healthy_set_excuses_less),
    };
    return cmocka_run_group_tests(tests, shop_open, shop_close);
}
