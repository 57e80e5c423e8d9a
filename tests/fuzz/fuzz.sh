#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# fuzz.sh PROGRAM SOURCE CORPUS SECONDS: runs one target of libFuzzer from the shipped files on. What it
# finds stays in CORPUS/NAME.found; what is new to it is kept for the next time.
set -u
program=$1
source=$2
name=$(basename "$program")
corpus=$3/$name
mkdir -p "$corpus" "$corpus.seeds" "$corpus.found"
case $name in
fuzz_quantity)
  # Every value of every scenario and model, one a file.
  cat "$source"/scenarios/*.yaml "$source"/models/*.yaml | grep -v '^ *#' |
    sed -n 's/^[^:]*: *\([0-9.+-][^][{}#]*\).*/\1/p' | cut -c1-80 | sort -u |
    awk -v to="$corpus.seeds" '{ f = to "/" NR; printf "%s", $0 >f; close(f) }'
  most=260
  ;;
fuzz_run)
  for i in 0 1 2 3 4 5 6 7 8 9 10 11 12 13; do
    printf "\\$(printf %o "$i")\\0\\14a1\\200b2\\170" >"$corpus.seeds/$i"
    printf "\\$(printf %o "$i")\\1\\15a1\\200b2\\170" >"$corpus.seeds/hot$i"
  done
  most=16
  # What libFuzzer keeps of an input and of comparisons costs more than a run; numbers need neither.
  ways="-entropic=0 -use_cmp=0"
  ;;
fuzz_readings)
  # Readings as the README, the shipped files and the tests write them, and those inside scenarios.
  cp "$source"/scenarios/readings/*.yaml "$corpus.seeds"
  for file in "$source"/tests/cases/*.yaml "$source"/scenarios/*.yaml; do
    awk '/^(measured|meter|noticed):/ { keep = 1 } /^[a-z]/ && !/^(measured|meter|noticed):/ { keep = 0 } keep' \
      "$file" >"$corpus.seeds/$(basename "$file")"
  done
  printf 'measured:\n  B+: {DC: 194 V, AC: 0.3 V +-1 %%}\n  mains: {current: 0.5 A, power: 52 W}\n' \
    >"$corpus.seeds/1"
  printf 'measured:\n  - name: on the lamp\n    lamp: 60 W 120 V\n    line: 90 V\n    out: [V1]\n' \
    >"$corpus.seeds/2"
  printf 'meter: {sensitivity: 1 kohm/V, range: 500 V, AC: average}\nnoticed: [hum low, C1 warm]\n' \
    >"$corpus.seeds/3"
  printf 'measured:\n  ohms: {B+ to B-: 7.1 kohm, AC in to B-: open}\n  C1: {capacitance: 6 uF, leakage: 2 mA at 450 V}\n' \
    >"$corpus.seeds/4"
  most=4000
  ;;
*)
  cp "$source"/scenarios/*.yaml "$source"/scenarios/new/*.yaml "$source"/tests/cases/*.yaml \
    "$corpus.seeds"
  [ "$name" = fuzz_document ] && cp "$source"/models/*.yaml "$corpus.seeds"
  most=20000
  ;;
esac
# $ways is a list of words
# shellcheck disable=SC2086
exec "$program" ${ways:-} -max_total_time="$4" -max_len="$most" -timeout=20 -rss_limit_mb=2000 \
  -print_final_stats=1 -verbosity=0 -artifact_prefix="$corpus.found/" \
  -dict="$source/tests/fuzz/words.dict" "$corpus" "$corpus.seeds"
