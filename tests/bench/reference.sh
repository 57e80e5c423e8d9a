#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Keeps the figures that `accuracy` compares, out of those of whole runs.
# usage: reference.sh FOLDER, where FOLDER/SCENARIO/VARIANT/figures.csv are there
# Writes reference/SCENARIO.csv. A figure with several ratings has several rows there: one is kept.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
mkdir -p "$here/reference"
for scenario in "$1"/*/; do
  ls "$scenario"*/figures.csv >/dev/null 2>&1 || continue
  awk -F, '
    BEGIN {
      names = "settled-voltage rms-voltage rms-current average-current dissipation energy " \
        "temperature line-current line-power flat-top-voltage ripple-rms ripple-pp " \
        "highest-voltage lowest-voltage inverse-voltage running-peak-current " \
        "inrush-peak-current peak-i2t stored-energy overshoot-voltage contact-peak-current " \
        "make-current break-current"
      n = split(names, list, " ")
      for (k = 1; k <= n; k++) kept[list[k]]
      print "variant,subject,measure,value"
    }
    FNR == 1 || !($3 in kept) { next }
    { row = $1 "," $2 "," $3 "," $4 }
    row != last { print row }
    { last = row }' "$scenario"*/figures.csv >"$here/reference/$(basename "$scenario").csv"
done
