/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The order of the integrator: its coefficients against the order conditions, its steps and its
 * dense output on a problem with a known solution, a whole run against a multistep method of
 * another library. */
#include <complex.h>
#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include <cmocka.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>

#include "arena.h"
#include "near.h"
#include "numbers.h"
#include "rodas5p.h"
#include "rosenbrock.h"

enum { S = RODAS_STAGES, LARGEST_TREE = 5 };

/* The method in its usual form, with the stages k_i themselves: k = Gamma^-1 U / h. */
struct method {
    double gamma[S][S], alpha[S][S], beta[S][S]; /* beta = alpha + gamma */
    double b[S], embedded[S];
    double bend[RODAS_BENDS][S];
};

/* out = row * gamma */
static void through_gamma(const struct method *m, const double *row, double *out)
{
    for (int j = 0; j < S; j++) {
        out[j] = 0;
        for (int k = 0; k < S; k++) out[j] += row[k] * m->gamma[k][j];
    }
}

static struct method usual_form(void)
{
    struct method m = {0};
    /* Gamma (I / gamma - C) = I, so Gamma = gamma (I + C Gamma) row by row */
    for (int i = 0; i < S; i++) {
        for (int j = 0; j <= i; j++) {
            double sum = i == j;
            for (int k = j; k < i; k++) sum += rodas5p.C[i][k] * m.gamma[k][j];
            m.gamma[i][j] = rodas5p.gamma * sum;
        }
    }
    double last[S];
    memcpy(last, rodas5p.a[S - 1], sizeof last);
    through_gamma(&m, last, m.embedded);
    last[S - 1] = 1;
    through_gamma(&m, last, m.b);
    for (int i = 0; i < S; i++) {
        through_gamma(&m, rodas5p.a[i], m.alpha[i]);
        for (int j = 0; j < S; j++) m.beta[i][j] = m.alpha[i][j] + m.gamma[i][j];
    }
    for (int k = 0; k < RODAS_BENDS; k++) through_gamma(&m, rodas5p.bend[k], m.bend[k]);
    return m;
}

/* A rooted tree: node 0 is the root, parent[v] < v. */
struct tree {
    int nodes, parent[LARGEST_TREE];
};

/* The elementary weights of a tree and 1 / density (Hairer & Wanner, Solving Ordinary Differential
 * Equations II, section IV.7, theorem 7.3, from memory): a node with one branch multiplies it by
 * beta, one with several multiplies each by alpha. */
static double tree_weights(const struct method *m, const struct tree *t, double *weights)
{
    double w[LARGEST_TREE][S], inverse = 1;
    int size[LARGEST_TREE], branches[LARGEST_TREE] = {0};
    for (int v = 0; v < t->nodes; v++) {
        size[v] = 1;
        for (int i = 0; i < S; i++) w[v][i] = 1;
        if (v > 0) branches[t->parent[v]]++;
    }
    for (int v = t->nodes - 1; v > 0; v--) {
        int p = t->parent[v];
        for (int i = 0; i < S; i++) {
            const double *row = branches[p] == 1 ? m->beta[i] : m->alpha[i];
            double sum = 0;
            for (int j = 0; j < S; j++) sum += row[j] * w[v][j];
            w[p][i] *= sum;
        }
        size[p] += size[v];
    }
    for (int v = 0; v < t->nodes; v++) inverse /= size[v];
    memcpy(weights, w[0], sizeof w[0]);
    return inverse;
}

/* Walks through every array parent[v] < v, so through every rooted tree of so many nodes (some
 * often). */
static bool next_tree(struct tree *t)
{
    for (int v = t->nodes - 1; v > 0; v--) {
        if (++t->parent[v] < v) return true;
        t->parent[v] = 0;
    }
    return false;
}

/* The largest residual of the conditions sum b_i w_i = x^n / density over all trees of n nodes. */
static double residual(const struct method *m, const double *b, int nodes, double x)
{
    struct tree t = {.nodes = nodes};
    double largest = 0;
    do {
        double w[S], sum = -pow(x, nodes) * tree_weights(m, &t, w);
        for (int i = 0; i < S; i++) sum += b[i] * w[i];
        largest = larger(largest, fabs(sum));
    } while (next_tree(&t));
    return largest;
}

static void test_order_conditions(void **state)
{
    (void)state;
    struct method m = usual_form();
    for (int n = 1; n <= 5; n++) {
        double step = residual(&m, m.b, n, 1), embedded = residual(&m, m.embedded, n, 1);
        print_message("order %d: residual %.1e, embedded %.1e\n", n, step, embedded);
        near_abs(step, 0, 1e-13, "");
        if (n < 5) near_abs(embedded, 0, 1e-13, "");
        else assert_true(embedded > 1e-3); /* it would estimate no error */
    }
    for (int i = 0; i < S; i++) {
        double alpha = 0, gamma = 0;
        for (int j = 0; j < S; j++) alpha += m.alpha[i][j], gamma += m.gamma[i][j];
        near_abs(alpha, rodas5p.c[i], 1e-13, "");
        near_abs(gamma, rodas5p.d[i], 1e-13, "");
    }
}

static void test_dense_conditions(void **state)
{
    (void)state;
    struct method m = usual_form();
    double worst = 0;
    for (double x = 0; x <= 1; x += 1.0 / 16) {
        double b[S];
        for (int i = 0; i < S; i++)
            b[i] = x * (m.b[i] + (1 - x) * (m.bend[0][i] + x * (m.bend[1][i] + x * m.bend[2][i])));
        for (int n = 1; n <= 4; n++) worst = larger(worst, residual(&m, b, n, x));
        /* U_7 drops out of all of these; of its factors only the error constant speaks */
        near_abs(residual(&m, b, 5, x), 0, 3e-3, "");
    }
    print_message("dense output, orders 1 to 4: residual %.1e\n", worst);
    near_abs(worst, 0, 1e-13, "");
}

/* R(z) = 1 + z b (I - z beta)^-1 1 */
static double complex stability(const struct method *m, const double *b, double complex z)
{
    double complex x[S], r = 1;
    for (int i = 0; i < S; i++) {
        x[i] = 1;
        for (int j = 0; j < i; j++) x[i] += z * m->beta[i][j] * x[j];
        x[i] /= 1 - z * m->beta[i][i];
        r += z * b[i] * x[i];
    }
    return r;
}

static void test_stability(void **state)
{
    (void)state;
    struct method m = usual_form();
    near_abs(cabs(stability(&m, m.b, -1e9)), 0, 1e-7, "");
    near_abs(cabs(stability(&m, m.embedded, -1e9)), 0, 1e-7, "");
    double highest = 0;
    for (double y = 1e-3; y < 1e6; y *= 1.01)
        highest = larger(highest, cabs(stability(&m, m.b, y * (double complex)I)));
    print_message("highest |R| on the imaginary axis: 1 + %.1e\n", highest - 1);
    assert_true(highest <= 1 + 1e-12);
}

/* y1' = 2 (p^3 - y1^3) + cos t with p = 2 + sin t;  y2' = -y1 y2.  From y = (2, 1) at t = 0:
 * y1 = p, y2 = exp(cos t - 1 - 2 t). The Jacobian reaches -54. */
static int twisted_f(void *context, double t, const double *y, double *f)
{
    (void)context;
    double p = 2 + sin(t);
    f[0] = 2 * (p * sq(p) - y[0] * sq(y[0])) + cos(t);
    f[1] = -y[0] * y[1];
    return 0;
}

static int twisted_j(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    (void)context;
    dfdy[0] = -6 * sq(y[0]);
    dfdy[1] = 0;
    dfdy[2] = -y[1];
    dfdy[3] = -y[0];
    dfdt[0] = 6 * sq(2 + sin(t)) * cos(t) - sin(t);
    dfdt[1] = 0;
    return 0;
}

static double twisted_error(double t, const double *y)
{
    return larger(fabs(y[0] - 2 - sin(t)), fabs(y[1] - exp(cos(t) - 1 - 2 * t)));
}

/* Steps of h from the exact state at `start`: the error at start + span and the largest one inside.
 */
static void twisted_run(double start, double h, double span, double *at_end, double *inside)
{
    static const struct ode twisted = {.n = 2, .derivative = twisted_f, .jacobian = twisted_j};
    static const double scale[2] = {1, 1};
    struct arena *arena = arena_new();
    assert_non_null(arena);
    struct rosenbrock *s = rosenbrock_new(arena, 2, 0);
    double stop = start + span, y[2] = {2 + sin(start), exp(cos(start) - 1 - 2 * start)};
    rosenbrock_accuracy(s, 1e6, scale, h); /* a tolerance that never binds: all steps are h */
    rosenbrock_begin(s, &twisted, start, y, h);
    *inside = 0;
    while (rosenbrock_time(s) < stop) {
        assert_int_equal(rosenbrock_step(s, stop), ROSENBROCK_STEP);
        for (int k = 1; k < 8; k++) {
            double t = rosenbrock_previous(s) + k * h / 8;
            rosenbrock_dense(s, t, y);
            *inside = larger(*inside, twisted_error(t, y));
        }
    }
    *at_end = twisted_error(stop, rosenbrock_state(s));
    assert_int_equal(rosenbrock_statistics(s)->steps, (int)(span / h + 0.5));
    arena_free(arena);
}

static void test_order_of_steps(void **state)
{
    (void)state;
    double before = 0, order = 0, inside;
    for (int k = 4; k <= 8; k++) {
        double error, h = ldexp(1, -k);
        twisted_run(0, h, 2, &error, &inside);
        order = k > 4 ? log2(before / error) : 0;
        print_message("step 1/%-4d error %.2e  order %.2f\n", 1 << k, error, order);
        before = error;
    }
    near_abs(order, 5, 0.25, "");
    near_abs(before, 0, 1e-12, "");
}

/* One step from the exact state: the error inside goes with the power order + 1. */
static void test_order_of_dense_output(void **state)
{
    (void)state;
    double before = 0, order = 0, error;
    for (int k = 4; k <= 9; k++) {
        double inside, h = ldexp(1, -k);
        twisted_run(0.5, h, h, &error, &inside);
        order = k > 4 ? log2(before / inside) - 1 : 0;
        print_message("step 1/%-4d error inside %.2e  order %.2f   at the end %.2e\n", 1 << k,
                      inside, order, error);
        before = inside;
    }
    near_abs(order, 4, 0.25, "");
    near_abs(before, 0, 3e-14, "");
}

/* Robertson's chemical reaction: rates from 0.04 to 3e7 (H. H. Robertson 1966, from memory). */
static int reaction_f(void *context, double t, const double *y, double *f)
{
    (void)context, (void)t;
    f[0] = -0.04 * y[0] + 1e4 * y[1] * y[2];
    f[2] = 3e7 * sq(y[1]);
    f[1] = -f[0] - f[2];
    return 0;
}

static int reaction_j(void *context, double t, const double *y, double *dfdy, double *dfdt)
{
    (void)context, (void)t;
    const double first[3] = {-0.04, 1e4 * y[2], 1e4 * y[1]}, last[3] = {0, 6e7 * y[1], 0};
    for (int j = 0; j < 3; j++) {
        dfdy[j] = first[j];
        dfdy[3 + j] = -first[j] - last[j];
        dfdy[6 + j] = last[j];
        dfdt[j] = 0;
    }
    return 0;
}

static int other_f(double t, const double y[], double f[], void *context)
{
    return reaction_f(context, t, y, f);
}

static int other_j(double t, const double y[], double *dfdy, double dfdt[], void *context)
{
    return reaction_j(context, t, y, dfdy, dfdt);
}

/* Against GSL's variable-order backward differentiation: an independent method and an independent
 * code. */
static void test_against_multistep(void **state)
{
    (void)state;
    static const struct ode reaction = {.n = 3, .derivative = reaction_f, .jacobian = reaction_j};
    static const double scale[3] = {1, 1e-4, 1};
    static const char *const names[3] = {"first", "second", "third"};
    gsl_odeiv2_system system = {other_f, other_j, 3, NULL};
    gsl_odeiv2_driver *driver =
        gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_msbdf, 1e-6, 1e-14, 1e-11);
    struct arena *arena = arena_new();
    assert_non_null(driver);
    assert_non_null(arena);
    struct rosenbrock *s = rosenbrock_new(arena, 3, 0);
    struct worst worst = {0};
    double t = 0, theirs[3] = {1, 0, 0}, ours[3] = {1, 0, 0};
    rosenbrock_accuracy(s, 1e-9, scale, 1e3);
    rosenbrock_begin(s, &reaction, 0, ours, 0);
    for (double stop = 0.4; stop < 1e4; stop *= 10) {
        assert_int_equal(gsl_odeiv2_driver_apply(driver, &t, stop, theirs), GSL_SUCCESS);
        while (rosenbrock_time(s) < stop)
            assert_int_equal(rosenbrock_step(s, stop), ROSENBROCK_STEP);
        memcpy(ours, rosenbrock_state(s), sizeof ours);
        print_message("t = %-6g %.10f %.6e %.10f\n", t, ours[0], ours[1], ours[2]);
        for (int k = 0; k < 3; k++) worst_take(&worst, ours[k], theirs[k], names[k]);
    }
    print_message("%ld steps, %ld rejected\n", rosenbrock_statistics(s)->steps,
                  rosenbrock_statistics(s)->rejected);
    gsl_odeiv2_driver_free(driver);
    arena_free(arena);
    worst_check(&worst, "Robertson's reaction", 1e-7);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_order_conditions),
        cmocka_unit_test(test_dense_conditions),
        cmocka_unit_test(test_stability),
        cmocka_unit_test(test_order_of_steps),
        cmocka_unit_test(test_order_of_dense_output),
        cmocka_unit_test(test_against_multistep),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
