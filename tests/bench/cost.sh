#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# What `switch-on` costs, in instructions: they are the same on a busy machine, seconds are not.
# usage: cost.sh PRESOLDER [SCENARIO...]
# Counts 1 s, 2 s and the whole run of every shipped scenario, and writes them to cost.csv
# beside those of an older commit, named in its heading, which are kept. Rows of scenarios that are
# not asked for stay.
#   second     the second second: 2 s less 1 s
#   rest       all that is no simulated second: angles, restart, files, reading
#   whole      the length the scenario states
#   simulated  whole less rest
# Then names each scenario whose second, and whose simulated part, is not TIMES times cheaper than it
# was. Asserts nothing.
set -u
TIMES=10
program=$1
shift
here=$(cd "$(dirname "$0")" && pwd) || exit 1
top=$here/../..
table=$here/cost.csv
command -v valgrind >/dev/null || { echo "cost: valgrind is not installed" >&2; exit 1; }
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT

# count SCENARIO [OPTION...]: instructions of one switch-on. Cachegrind without its caches counts
# as callgrind does (within 0.2 %) in two thirds of the time.
count() {
  scenario=$1
  shift
  valgrind --tool=cachegrind --cache-sim=no --cachegrind-out-file=/dev/null \
    --log-file="$work/log" "$program" switch-on "$top/scenarios/$scenario.yaml" "$@" \
    --no-plots --quiet --out "$work/out" >"$work/said" 2>&1 </dev/null ||
    { cat "$work/said" >&2; echo "cost: $scenario $* failed" >&2; return 1; }
  sed -n 's/.*I *refs: *//p' "$work/log" | tr -d ,
}

measure() {
  one=$(count "$1" --for 1s) && two=$(count "$1" --for 2s) && whole=$(count "$1") || return 1
  echo "$1,1 s,$one"
  echo "$1,2 s,$two"
  echo "$1,whole,$whole"
}

if [ $# = 0 ]; then
  for file in "$top"/scenarios/*.yaml; do set -- "$@" "$(basename "$file" .yaml)"; done
fi
failed=
for scenario in "$@"; do
  measure "$scenario" >>"$work/now" || failed=1
done

# Old counts, and counts of scenarios left out, come from the table itself.
[ -f "$table" ] || echo "scenario,what,instructions_a617ee7,instructions" >"$table"
awk -F, -v OFS=, -v times="$TIMES" '
  function known(what) { return now[name, what] != "" || old[name, what] != "" }
  function row(what) {
    if (known(what)) print name, what, old[name, what], now[name, what] > out
  }
  function derive(v) {
    if (v[name, "1 s"] == "" || v[name, "2 s"] == "") return
    v[name, "second"] = v[name, "2 s"] - v[name, "1 s"]
    v[name, "rest"] = v[name, "1 s"] - v[name, "second"]
    if (v[name, "whole"] != "") v[name, "simulated"] = v[name, "whole"] - v[name, "rest"]
  }
  function g(x) { return x == "" ? "-" : sprintf("%.3f", x / 1e9) }
  function show(what,   ratio) {
    if (!known(what)) return
    ratio = old[name, what] != "" && now[name, what] > 0 ? old[name, what] / now[name, what] : ""
    printf "%-20s %-10s %10s %10s %8s\n", name, what, g(old[name, what]), g(now[name, what]),
      ratio == "" ? "-" : sprintf("%.1f", ratio)
    if (what != "second" && what != "simulated") return
    if (ratio == "") unknown = unknown "  " name "\n"
    else if (ratio < times) slow = slow sprintf("  %s, %s: %.1f times\n", name, what, ratio)
  }
  function see() { if (!($1 in seen)) { seen[$1]; order[++n] = $1 } }
  FILENAME ~ /cost.csv$/ {
    if (FNR == 1) { heading = $0; next }
    see(); old[$1, $2] = $3; now[$1, $2] = $4; next
  }
  { see(); now[$1, $2] = $3 }
  END {
    print heading > out
    CONVFMT = OFMT = "%.0f"
    printf "%-20s %-10s %10s %10s %8s\n", "", "", "before, G", "now, G", "times"
    for (k = 1; k <= n; k++) {
      name = order[k]
      derive(old); derive(now)
      split("1 s,2 s,second,rest,whole,simulated", list, ",")
      for (j = 1; j <= 6; j++) row(list[j])
      for (j = 3; j <= 6; j++) show(list[j])
    }
    if (unknown) printf "not counted before or now:\n%s", unknown
    if (slow) printf "not %g times cheaper than before:\n%s", times, slow
    else if (!unknown) printf "all is %g times cheaper than before\n", times
  }' out="$work/table" "$table" "$work/now" && cp "$work/table" "$table"
[ -z "$failed" ]
