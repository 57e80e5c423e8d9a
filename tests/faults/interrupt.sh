# SPDX-License-Identifier: GPL-3.0-or-later
# Ctrl-C at 50 places of every command that simulates (10 of the longest), in steps of the integrator from the first to
# the last, drawn from a seed: exit code 6 (0 where the last run was over), and the program makes no
# more than $most further steps, wherever it was. What lies in the folder is of that run and marked,
# or the folder is not there.
. "$(dirname "$0")/../cli/expect.sh"
small=$here/small.yaml
places=50
most=4000 # of one thread: a cycle has about a hundred; hot restarts of six cycles ask nobody

everywhere() {
  rm -rf out
  interrupt INT 0 "$@"
  [ "$code" -eq 0 ] || { complain "$what: exit code $code" && cat "$work/said/err"; }
  all=$steps
  seed=$((seed + 1))
  for step in $(awk -v seed=$seed -v n=$places -v all="$all" \
    'BEGIN { srand(seed); for (i = 0; i < n; i++) print 1 + int(rand() * all) }'); do
    rm -rf out
    interrupt INT "$step" "$@"
    if [ "$code" -eq 0 ]; then # all was there but what is written
      [ "$steps" -eq "$all" ] || complain "$what: exit code 0 after $steps of $all steps"
      continue
    fi
    [ "$code" -eq 6 ] || { complain "$what: exit code $code" && cat "$work/said/err"; }
    [ $((steps - step)) -le $most ] || complain "$what: $((steps - step)) further steps"
    [ -z "$(find out -name '.*' 2>/dev/null)" ] || complain "$what: it left $(find out -name '.*')"
    grep -qi 'interrupted' "$work/said/out" "$work/said/err" || complain "$what: it does not say so"
  done
}
seed=0
everywhere switch-on "$small" --for 0.1s --no-plots --out out
everywhere compare "$small" --for 0.1s --jobs 1 --no-plots --out out
everywhere try "$small" R2.resistance=2kohm,3kohm --for 0.1s --jobs 1 --no-plots --out out
everywhere find-value "$small" --change R2.resistance --so-that "B+ settled-voltage = 140 V" \
  --jobs 1 --out out
everywhere tolerances "$small" --samples 8 --jobs 1 --no-plots --out out
everywhere diagnose "$small" --reading "B+ settled-voltage = 70 V" --jobs 1 --no-plots --out out
everywhere report "$small" --for 0.1s --jobs 1 --no-plots --out out
everywhere exercise "$small" --pupils 1 --jobs 1 --out out
everywhere buy-list "$small" --for 0.1s --jobs 1 --out out
everywhere discharge "$small" --out out
everywhere fuse "$small" --out out
most=10000 # of one at a tolerance of 1e-11 more than a thousand
everywhere hot-chassis "$small" --jobs 1 --out out
most=4000
places=10 # it takes two seconds
everywhere bench-sheet "$small" --jobs 1 --out out
done_
