/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Small networks against a direct solve of the unreduced equations. For every pattern that can be
 * reduced: the number of states equals the number of finite eigenvalues of the pencil (E, G)
 * (LAPACK-free: GSL's generalised eigenvalues), and the potentials at DC and 60 Hz for every source
 * and every port current equal those of (jwE + G) x = b u + P i solved by GSL's complex LU. */
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include <cmocka.h>
#include <gsl/gsl_complex_math.h>
#include <gsl/gsl_eigen.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>

#include "handmade.h"
#include "near.h"
#include "numbers.h"

/* One network: elements `KIND from to value` separated by `;`. V sine source, R, C, L, D ideal
 * rectifier, d rectifier of 10 ohm and 0.7 V, P gated port (tube), I port without a bypass, N
 * bypassed port, S switch, W winding `W core from to ratio`. 0 is the reference. */
struct row {
    const char *name, *elements;
    int states_all;  /* with every gate conducting; -1: that pattern is contradictory */
    int states_none; /* with every gate open */
    int faults;      /* patterns that must be refused */
};

/* Seven capacitors with a resistor each; four such make a ladder whose states are modes. */
#define SECTIONS(a, b, c, d, e, f, g, h)                                                           \
    "R " a " " b " 20;C " b " 0 1e-6;R " b " " c " 20;C " c " 0 2e-6;R " c " " d " 30;C " d        \
    " 0 1e-6;R " d " " e " 10;C " e " 0 4e-6;R " e " " f " 2000;C " f " 0 1e-6;R " f " " g         \
    " 20;C " g " " h " 1e-6;R " g " " h " 20;C " h " 0 3e-6;"

static const struct row table[] = {
    {"ladder with modes",
     "V a 0 1;R a p 75;P p k;" SECTIONS("k", "b1", "b2", "b3", "b4", "b5", "b6", "b7")
         SECTIONS("b7", "c1", "c2", "c3", "c4", "c5", "c6", "c7")
             SECTIONS("c7", "d1", "d2", "d3", "d4", "d5", "d6", "d7")
                 SECTIONS("d7", "e1", "e2", "e3", "e4", "e5", "e6", "e7") "L e7 h 5;R h 0 2500",
     29, 29, 0},
    {"resistor and capacitor", "V a 0 1;R a b 100;C b 0 1e-5", 1, 1, 0},
    {"capacitor straight across an ideal source", "V a 0 1;C a 0 1e-5", 0, 0, 0},
    {"two capacitors in parallel", "V a 0 1;R a b 100;C b 0 1e-5;C b 0 2e-5", 1, 1, 0},
    {"two capacitors in series", "V a 0 1;R a b 100;C b c 1e-5;C c 0 2e-5;R c 0 1e5", 2, 2, 0},
    {"delta of bare capacitors", "V a 0 1;R a b 100;C b c 1e-5;C c 0 2e-5;C b 0 3e-5", 2, 2, 0},
    {"chokes in series", "V a 0 1;R a b 10;L b c 10;L c d 5;R d 0 1000", 1, 1, 0},
    {"chokes in series with a tap", "V a 0 1;L a b 10;R b 0 500;L b c 5;R c 0 1000", 2, 2, 0},
    {"three chokes at one point", "V a 0 1;R a b 1;L b s 1;L s c 2;L s d 3;R c 0 10;R d 0 20", 2, 2,
     0},
    {"open capacitor between chokes", "V a 0 1;R a b 10;L b c 10;C c 0 1e-5;L c d 10;R d 0 3000", 3,
     3, 0},
    {"pi filter", "V a 0 1;R a b 10;C b 0 1e-5;L b c 10;C c 0 1e-5;R c 0 3000", 3, 3, 0},
    {"tuned choke", "V a 0 1;R a b 10;L b c 10;C b c 1e-7;C c 0 1e-5;R c 0 3000", 3, 3, 0},
    {"picofarad beside microfarad and henries",
     "V a 0 1;R a b 10;C b 0 4e-5;C b c 1e-12;L c 0 30;R c 0 1e6", 3, 3, 0},
    {"half-wave, ideal", "V a 0 1;R a b 100;D b k;C k 0 1e-5;R k 0 1000", 1, 1, 0},
    {"half-wave, ideal source too", "V a 0 1;D a k;C k 0 1e-5;R k 0 1000", 0, 1, 0},
    {"full-wave", "V a 0 1;V 0 b 1;d a k;d b k;C k 0 1e-5;R k 0 1000", 1, 1, 0},
    {"full-wave, ideal, no resistance", "V a 0 1;V 0 b 1;D a k;D b k;C k 0 1e-5;R k 0 1000", -1, 1,
     1},
    {"full-wave, choke input",
     "V a 0 1;V 0 b 1;R a p 10;R b q 10;D p k;D q k;L k m 10;C m 0 1e-5;R m 0 2000", 2, 1, 0},
    {"bridge", "V a b 1;R a p 10;d p k;d b k;d 0 p;d 0 b;C k 0 1e-5;R k 0 1000", 1, 1, 0},
    {"bridge with series resistance and choke",
     "V a b 1;R a p 10;d p k;d b k;d 0 p;d 0 b;L k m 5;C m 0 1e-5;R m 0 1000", 2, 1, 0},
    {"rectifier, leakage, choke", "V a 0 1;L a b 0.01;D b k;L k m 10;C m 0 1e-5;R m 0 2000", 2, 1,
     0},
    {"leakage with its own loss", "V a 0 1;L a b 0.01;R a b 4000;D b k;C k 0 1e-5;R k 0 2000", 2, 2,
     0},
    {"full-wave doubler", "V a n 1;R a p 5;d p k;d 0 p;C k n 4e-5;C n 0 4e-5;R k 0 3000", 2, 2, 0},
    {"half-wave doubler", "V a 0 1;R a b 5;C b p 4e-5;d p k;d 0 p;C k 0 4e-5;R k 0 3000", 2, 2, 0},
    {"series capacitors with equalising resistors",
     "V a 0 1;d a k;C k m 1e-5;C m 0 2e-5;R k m 2.2e5;R m 0 2.2e5;R k 0 5000", 2, 2, 0},
    {"tube half-wave", "V a 0 1;R a b 100;P b k;C k 0 1e-5;R k 0 1000", 1, 1, 0},
    {"tube full-wave behind a choke",
     "V a 0 1;V 0 b 1;R a p 75;R b q 75;P p k;P q k;L k m 5;C m 0 4e-5;R m 0 2500", 2, 1, 0},
    {"tube with leakage inductance", "V a 0 1;R a b 10;L b p 0.02;P p k;C k 0 1e-5;R k 0 2500", 2,
     1, 0},
    {"transformer with loaded heater winding",
     "V a 0 1;R a p 8;W 0 p 0 1;W 0 s 0 3;W 0 h j 0.05;R s 0 1000;R h j 3.15", 0, 0, 0},
    {"transformer with leakage and loss",
     "V a 0 1;R a b 8;L b p 0.01;W 0 p 0 1;R p 0 2000;W 0 s 0 3;R s q 100;d q k;C k 0 1e-5;R k 0 "
     "3000",
     2, 2, 0},
    {"floating heater winding", "V a 0 1;R a p 8;W 0 p 0 1;W 0 h j 0.05;R h j 3.15;C h j 1e-6", 1,
     1, 0},
    {"centre-tapped winding, floating",
     "V a 0 1;R a p 8;W 0 p 0 1;W 0 s t 3;W 0 t u 3;d s k;d u k;C k t 1e-5;R k t 3000;R p 0 1e4", 1,
     1, 0},
    {"load port behind a choke without capacitor", "V a 0 1;R a b 10;L b c 10;N c 0", 1, 1, 0},
    {"current port in a choke's only way", "V a 0 1;R a b 10;L b c 10;I c 0", -1, -1, 1},
    {"contradictory sources", "V a 0 1;V a 0 2;R a 0 1", -1, -1, 1},
    {"switch in the line", "V a 0 1;S a b;R b c 10;C c 0 1e-5;R c 0 1000", 1, 1, 0},
    {"switch that breaks a choke", "V a 0 1;S a b;L b c 10;R c 0 1000", 1, 0, 0},
    {"back bias in the negative lead",
     "V a n 1;V n b 1;d a k;d b k;C k n 8e-6;R n m 150;R m 0 33;L k o 12;C o 0 8e-6;R o 0 4000", 3,
     3, 0},
    {"two tubes on separate cathodes",
     "V a 0 1;R a b 30;P b k;P b m;C k 0 4e-5;R k 0 3000;C m 0 1e-5;R m 0 9000", 2, 2, 0},
    {"rectifiers in series", "V a 0 1;R a b 30;d b c;d c k;C k 0 4e-5;R k 0 3000", 1, 1, 0},
    {"resistances from milliohm to gigohm",
     "V a 0 1;R a b 1e-3;C b 0 4e-5;R b c 1e9;C c 0 1e-9;R c 0 1e9", 2, 2, 0},
};

/* A port law with no current: only its place in the network is used. */
static void port(struct handmade *h, int from, int to, enum port_kind kind)
{
    static const struct diode_shape {
        int none;
    } shape = {0};
    extern const struct device_law law_diode;
    int d = circuit_device(h->c, "port", "port", &law_diode, &shape);
    int e = circuit_port(h->c, d, "port", from, to, kind);
    /* a lower bypass than the usual 1e9 ohm keeps its eigenvalue apart from the infinite ones */
    if (kind != PORT_BASED) h->c->elements.at[e].value = 1e5;
}

static struct handmade build(const char *text)
{
    struct handmade h = handmade_new(60);
    char copy[1600], *rest = copy, *item;
    snprintf(copy, sizeof copy, "%s", text);
    for (int n = 0; (item = strtok_r(rest, ";", &rest)); n++) {
        char word[5][12] = {{0}};
        int words = 0;
        for (char *inner = item, *w; words < 5 && (w = strtok_r(inner, " ", &inner)); words++)
            snprintf(word[words], sizeof word[0], "%s", w);
        const char *name = arena_printf(h.arena, "%s%d", word[0], n);
        double value = words > 3 ? strtod(word[words - 1], NULL) : 0;
        bool winding = word[0][0] == 'W';
        int a = circuit_point(h.c, word[winding ? 2 : 1]),
            b = circuit_point(h.c, word[winding ? 3 : 2]);
        switch (word[0][0]) {
        case 'V': hand_sine(&h, name, word[1], word[2], value, 0); break;
        case 'R': circuit_resistor(h.c, name, "r", a, b, value); break;
        case 'C': circuit_capacitor(h.c, name, "c", a, b, value); break;
        case 'L': circuit_inductor(h.c, name, "l", a, b, value); break;
        case 'D': circuit_rectifier(h.c, name, "d", a, b, 0, 0, 0); break;
        case 'd': circuit_rectifier(h.c, name, "d", a, b, 0.7, 10, 0.7); break;
        case 'S': circuit_switch(h.c, name, "s", a, b, true); break;
        case 'P': port(&h, a, b, PORT_GATED); break;
        case 'N': port(&h, a, b, PORT_BYPASSED); break;
        case 'I': port(&h, a, b, PORT_BASED); break;
        case 'W':
            if (h.c->transformers == 0) circuit_transformer(h.c);
            circuit_winding(h.c, name, "w", 0, a, b, value);
            break;
        default: fail_msg("element %s", item);
        }
    }
    return h;
}

/* Finite eigenvalues of E s x + G x = 0. */
static int finite_eigenvalues(const struct unreduced *u)
{
    const size_t n = (size_t)u->n;
    gsl_matrix *a = gsl_matrix_alloc(n, n), *b = gsl_matrix_alloc(n, n);
    gsl_vector_complex *alpha = gsl_vector_complex_alloc(n);
    gsl_vector *beta = gsl_vector_alloc(n);
    gsl_eigen_gen_workspace *w = gsl_eigen_gen_alloc(n);
    /* time in milliseconds, so that microfarads and henries are of the size of 1 */
    for (size_t i = 0; i < n * n; i++) {
        a->data[i] = -u->g[i];
        b->data[i] = u->e[i] * 1e3;
    }
    gsl_eigen_gen(a, b, alpha, beta, w);
    int finite = 0;
    for (size_t i = 0; i < n; i++) {
        double size = gsl_complex_abs(gsl_vector_complex_get(alpha, i));
        if (fabs(gsl_vector_get(beta, i)) > 1e-7 * size) finite++;
    }
    gsl_matrix_free(a);
    gsl_matrix_free(b);
    gsl_vector_complex_free(alpha);
    gsl_vector_free(beta);
    gsl_eigen_gen_free(w);
    return finite;
}

/* Potentials for one unit excitation by direct solve; false when the equations are singular at that
 * frequency. */
static bool direct(const struct unreduced *u, double omega, int column, bool is_port,
                   gsl_complex *x)
{
    const size_t n = (size_t)u->n;
    gsl_matrix_complex *m = gsl_matrix_complex_alloc(n, n);
    gsl_vector_complex *rhs = gsl_vector_complex_alloc(n), *solution = gsl_vector_complex_alloc(n);
    gsl_permutation *p = gsl_permutation_alloc(n);
    int sign;
    for (size_t i = 0; i < n; i++) {
        for (size_t j = 0; j < n; j++)
            gsl_matrix_complex_set(m, i, j,
                                   gsl_complex_rect(u->g[i * n + j], omega * u->e[i * n + j]));
        double v = is_port ? u->p[i * (size_t)u->np + (size_t)column]
                           : u->b[i * (size_t)u->nu + (size_t)column];
        gsl_vector_complex_set(rhs, i, gsl_complex_rect(v, 0));
    }
    gsl_linalg_complex_LU_decomp(m, p, &sign);
    double least = HUGE_VAL, most = 0;
    for (size_t i = 0; i < n; i++) {
        double d = gsl_complex_abs(gsl_matrix_complex_get(m, i, i));
        least = smaller(least, d);
        most = larger(most, d);
    }
    bool good = least > 1e-12 * most;
    if (good) gsl_linalg_complex_LU_solve(m, p, rhs, solution);
    for (size_t i = 0; i < n && good; i++) x[i] = gsl_vector_complex_get(solution, i);
    gsl_matrix_complex_free(m);
    gsl_vector_complex_free(rhs);
    gsl_vector_complex_free(solution);
    gsl_permutation_free(p);
    return good;
}

/* The same through the reduced equations: element volts and potentials out[2*elements + points]. */
static void through_reduced(const struct reduced *r, double omega, int column, bool is_port,
                            int rows, gsl_complex *x)
{
    const size_t nw = (size_t)r->nw;
    gsl_complex w[64], s = gsl_complex_rect(0, omega), one = gsl_complex_rect(1, 0),
                       zero = gsl_complex_rect(0, 0);
    if (nw > 0) {
        gsl_matrix_complex *m = gsl_matrix_complex_alloc(nw, nw);
        gsl_vector_complex *rhs = gsl_vector_complex_alloc(nw),
                           *solution = gsl_vector_complex_alloc(nw);
        gsl_permutation *p = gsl_permutation_alloc(nw);
        int sign;
        for (size_t i = 0; i < nw; i++) {
            for (size_t j = 0; j < nw; j++)
                gsl_matrix_complex_set(m, i, j,
                                       gsl_complex_rect(-r->a[i * nw + j], i == j ? omega : 0));
            gsl_complex v =
                is_port ? gsl_complex_rect(r->e[i * (size_t)r->np + (size_t)column], 0)
                        : gsl_complex_rect(r->b[i * (size_t)r->nu + (size_t)column],
                                           omega * r->b1[i * (size_t)r->nu + (size_t)column]);
            gsl_vector_complex_set(rhs, i, v);
        }
        gsl_linalg_complex_LU_decomp(m, p, &sign);
        gsl_linalg_complex_LU_solve(m, p, rhs, solution);
        for (size_t i = 0; i < nw; i++) w[i] = gsl_vector_complex_get(solution, i);
        gsl_matrix_complex_free(m);
        gsl_vector_complex_free(rhs);
        gsl_vector_complex_free(solution);
        gsl_permutation_free(p);
    }
    for (int k = 0; k < rows; k++) {
        const double *out = &r->out[(size_t)k * (size_t)r->columns];
        gsl_complex sum = zero;
        for (int j = 0; j < r->nw; j++)
            sum = gsl_complex_add(sum, gsl_complex_mul_real(w[j], out[j]));
        int at = is_port ? r->nw + 2 * r->nu + column : r->nw + column;
        sum = gsl_complex_add(sum, gsl_complex_mul_real(one, out[at]));
        if (!is_port)
            sum = gsl_complex_add(sum, gsl_complex_mul_real(s, out[r->nw + r->nu + column]));
        x[k] = sum;
    }
}

static void compare(const struct row *row, pattern_t pattern, const struct network *net,
                    const struct reduced *r, const struct unreduced *u, struct worst *worst)
{
    const struct circuit *c = net->circuit;
    const int rows = 2 * c->elements.n + c->points.n;
    gsl_complex x[256], y[256];
    char label[96];
    snprintf(label, sizeof label, "%s, pattern %llx", row->name, (unsigned long long)pattern);
    for (int f = 0; f < 2; f++)
        for (int k = 0; k < u->nu + u->np; k++) {
            bool is_port = k >= u->nu;
            int column = is_port ? k - u->nu : k;
            double omega = f ? 2 * PI * 60 : 0, size = 1e-12;
            if (!direct(u, omega, column, is_port, x)) continue;
            through_reduced(r, omega, column, is_port, rows, y);
            for (int p = 0; p < c->points.n; p++)
                size = larger(size, gsl_complex_abs(x[u->points + p]));
            for (int p = 0; p < c->points.n; p++) {
                gsl_complex off = gsl_complex_sub(x[u->points + p], y[2 * c->elements.n + p]);
                worst_take(worst, 1 + gsl_complex_abs(off) / size, 1, label);
            }
        }
}

static int finite_or_fault(const struct row *row, const struct network *net, pattern_t pattern,
                           struct arena *arena, struct worst *worst)
{
    const struct reduced *r = network_reduce(arena, net, pattern, NULL);
    struct unreduced u = network_unreduced(arena, net, pattern);
    if (r->fault) return -1;
    int wanted = finite_eigenvalues(&u);
    if (r->nw != wanted)
        fail_msg("%s, pattern %llx: %d states, the pencil has %d finite eigenvalues", row->name,
                 (unsigned long long)pattern, r->nw, wanted);
    compare(row, pattern, net, r, &u, worst);
    assert_int_equal(r->modal > 0, net->capacitors >= 24);
    return r->nw;
}

static void test_table(void **state)
{
    struct worst worst = {0};
    int patterns = 0;
    (void)state;
    for (size_t k = 0; k < sizeof table / sizeof table[0]; k++) {
        struct handmade h = build(table[k].elements);
        const struct network *net = network_new(h.arena, h.c);
        pattern_t all = ((pattern_t)1 << h.c->gates) - 1;
        int faults = 0;
        for (pattern_t p = 0; p <= all; p++, patterns++) {
            int states = finite_or_fault(&table[k], net, p, h.arena, &worst);
            faults += states < 0;
            if (p == all && states != table[k].states_all)
                fail_msg("%s, all conducting: %d states, wanted %d", table[k].name, states,
                         table[k].states_all);
            if (p == 0 && states != table[k].states_none)
                fail_msg("%s, none conducting: %d states, wanted %d", table[k].name, states,
                         table[k].states_none);
        }
        if (faults != table[k].faults)
            fail_msg("%s: %d patterns refused, wanted %d", table[k].name, faults, table[k].faults);
        handmade_free(&h);
    }
    print_message("%zu networks, %d patterns\n", sizeof table / sizeof table[0], patterns);
    worst_check(&worst, "potentials at DC and 60 Hz against the direct solve", 1e-9);
}

/* A refusal names what it is about. */
static void test_refusals_name_parts(void **state)
{
    (void)state;
    struct handmade h = build("V a 0 1;V a 0 2;R a 0 1");
    const struct reduced *r = network_reduce(h.arena, network_new(h.arena, h.c), 0, NULL);
    assert_int_equal(r->fault, NETWORK_SOURCES);
    assert_string_equal(r->at_fault, "V0, V1");
    handmade_free(&h);
}

int main(void)
{
    gsl_set_error_handler_off();
    const struct CMUnitTest tests[] = {cmocka_unit_test(test_table),
                                       cmocka_unit_test(test_refusals_name_parts)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
