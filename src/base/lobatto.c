/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "lobatto.h"

#define ROOT5 2.23606797749978969641

const double lobatto_node[LOBATTO_NODES] = {0, 0.5 - 0.5 / ROOT5, 0.5 + 0.5 / ROOT5, 1};
const double lobatto_weight[LOBATTO_NODES] = {1 / 12.0, 5 / 12.0, 5 / 12.0, 1 / 12.0};

/* Twice the differentiation matrix on -1 .. 1. */
const double lobatto_slope[LOBATTO_NODES][LOBATTO_NODES] = {
    {-6, 2.5 * (1 + ROOT5), 2.5 * (1 - ROOT5), 1},
    {-0.5 * (1 + ROOT5), 0, ROOT5, 0.5 * (1 - ROOT5)},
    {-0.5 * (1 - ROOT5), -ROOT5, 0, 0.5 * (1 + ROOT5)},
    {-1, -2.5 * (1 - ROOT5), -2.5 * (1 + ROOT5), 6}};
