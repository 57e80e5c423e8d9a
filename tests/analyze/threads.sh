#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# threads.sh PROGRAM SOURCE: the studies that use threads under the thread sanitizer, which ends the
# program with 66 at a race.
set -u
program=$1
set=$2/tests/cli/small.yaml
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
failed=0
export TSAN_OPTIONS="halt_on_error=1 exitcode=66"
try() {
  "$program" "$@" --jobs 3 --quiet --out "$work/out" </dev/null && return
  echo "FAILED: $*"
  failed=1
}
try compare "$set" --for 0.1s
try try "$set" R2.resistance=1kohm,2kohm,3kohm,5kohm --for 0.1s
try find-value "$set" --change R2.resistance --so-that "B+ settled-voltage = 140 V"
try hot-chassis "$set"
try tolerances "$set" --samples 60
try diagnose "$set" --reading "B+ DC = 137 V" --reading "B+ AC = 9.4 V"
try buy-list "$set" --for 0.1s
exit $failed
