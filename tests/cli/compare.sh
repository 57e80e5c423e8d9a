# SPDX-License-Identifier: GPL-3.0-or-later
# `compare`: the table, what is told below it, the files; the same bytes whatever --jobs.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .
cat >>small.yaml <<'END'
  as built:
    C1:
      value: 20 uF
      rated: 100 V
  half the load:
    R2:
      resistance: 6 kohm
END

run 0 compare small.yaml --jobs 1 --out one --no-plots
quiet_err
tail -n 1 "$work/said/out" | grep -q '^4 runs in [0-9]*[.][0-9] s, 1 job busy [0-9]* %[.]$' ||
  complain "$what: not told how busy the processors were"
sed '/^Cautions/,$d' "$work/said/out" >"$work/said/table"
mv "$work/said/table" "$work/said/out"
out <"$here/compare.txt"
cut -d, -f1 one/figures.csv | sort -u >"$work/said/out"
out <<'END'
as built
as built (hot restart)
as built (warm)
base
base (hot restart)
base (warm)
half the load
half the load (hot restart)
half the load (warm)
too small a rating
too small a rating (hot restart)
too small a rating (warm)
variant
END

# The base of the comparison is the run that switch-on makes, digit for digit.
run 0 switch-on small.yaml --quiet --out single
grep '^base' one/figures.csv >"$work/said/base"
sed 1d single/figures.csv | cmp -s - "$work/said/base" || complain "other digits than switch-on"

for jobs in 2 7; do
  run 0 compare small.yaml --jobs $jobs --out "jobs$jobs" --quiet
  silent
  cmp -s one/figures.csv "jobs$jobs/figures.csv" || complain "other digits with --jobs $jobs"
done
exists jobs2/plots/point-B+.gp

# Chosen columns, and several files.
run 1 compare small.yaml --variant "as built" --variant base --out chosen --strict --no-plots
grep -q "^ *as built *base$" "$work/said/out" || complain "$what: other columns"
cp small.yaml other.yaml
run 0 compare small.yaml other.yaml --out files --no-plots
grep -q '^ *small *other$' "$work/said/out" || complain "$what: other columns"
out_has "Nothing that counts changes, and nothing is over its rating."

# Where resistors in the plates' leads are what helps, the answer says so.
sed 's/    slope: 0.04 ohm/&\n    inrush peak current: 8 A/; /^variants:/,$d' small.yaml >eased.yaml
cat >>eased.yaml <<'END'
variants:
  resistor bridged:
    R1: {resistance: 1 ohm}
  line at 300 V:
    mains: {voltage: 300 V}
END
run 0 compare eased.yaml --out eased --no-plots
out_has '`resistor bridged` fits only with 100 ohm in each plate lead: without, D1 hot'
out_has '`line at 300 V` does not fit, because D1 hot restart peak is 13.9 A of 8 A.'

# A fuse that opens is told first; what stands at the end is then no better and no worse.
cp small.yaml fused.yaml
cat >>fused.yaml <<'END'
  shorts on a fuse:
    mains:
      through:
        fuse: 0.5 A fast
    C1:
      condition: shorted
END
run 0 compare fused.yaml --variant base --variant "shorts on a fuse" --for 1s --out fused --no-plots
out_has "  Dead: mains fuse opened at "
grep -q '^  Worse' "$work/said/out" && complain "$what: what is dead is told to be worse"
grep -q 'mains,line-power,0,W' fused/figures.csv || complain "$what: a dead set takes watts"

run 2 compare small.yaml --variant base
out </dev/null
err <<'END'
error: there is nothing to compare with: one column only
  hint: name several files, or several --variant (`base` is the scenario itself)
END
run 3 compare small.yaml --variant base --variant "as build"
err_has "there is no variant \`as build\`"
err_has "did you mean \`as built\`?"
run 2 compare small.yaml --jobs 0
err <<'END'
error: --jobs takes a whole number from 1 to 9999, not `0`
  hint: for instance --jobs 2
END

# Another rectifier tube draws more from its heater winding, silicon nothing: 3 A and 0 A for 2 A.
cat >tube.yaml <<'END'
format: 1
title: Small supply with a rectifier tube (invented)
mains: {voltage: 117 V, frequency: 60 Hz, closes at: zero}
parts:
  T1:
    is: power transformer
    primary: {across: [line, neutral], rated: 117 V, resistance: 5 ohm}
    windings:
      high: {across: [P1, chassis, P2], open circuit: [250 V, 250 V], resistance: [150 ohm, 150 ohm]}
      rectifier heater: {open circuit: 5.2 V, resistance: 0.05 ohm}
  V1: {is: rectifier, type: 5Y3-GT, plates: [P1, P2], cathode: B+, heated by: rectifier heater}
  C1: {is: capacitor, across: [B+, chassis], value: 8 uF, rated: 450 V, make: film}
  R1: {is: resistor, across: [B+, chassis], resistance: 6 kohm}
run: {for: 0.3 s, start: hot}
variants:
  other tube: {V1: {type: 5U4-G}}
  other tube rated:
    based on: other tube
    T1: {windings: {rectifier heater: {rated: 2 A}}}
  silicon: {V1: {type: 1N4007}}
END
run 0 compare tube.yaml --out tube --no-plots
tr '\n' ' ' <"$work/said/out" | sed 's/  */ /g' >"$work/said/line"
mv "$work/said/line" "$work/said/out"
out_has "Look at it: T1.rectifier heater carries "
out_has "T1.rectifier heater is relieved: 0 A instead of "
[ "$(grep -o 'Look at it' "$work/said/out" | wc -l)" -eq 1 ] || complain "$what: a rated one is told"
amperes() { sed -n "s/^$1,T1.rectifier heater,rms-current,\([0-9.]*\),.*/\1/p" tube/figures.csv; }
awk -v a="$(amperes "other tube")" -v b="$(amperes base)" 'BEGIN {exit !(a / b > 1.3 && a / b < 1.6)}' ||
  complain "$what: the heaters do not draw 3 A and 2 A"
grep -q '^other tube rated,T1.rectifier heater,rms-current,[0-9.]*,A,2,scenario,over,' \
  tube/figures.csv || complain "$what: the winding is not judged"

# Interrupted before any column is finished: old results stay as they were.
before=$(sums one)
interrupted INT 20000 compare small.yaml --for 100h --every-cycle --no-plots --out one
err_has "nothing was written; results of earlier runs are as they were"
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"

# Interrupted later: what is finished is told, written and marked, wherever it stands. By then one thread has
# gone a hundred times as far as the other needs to finish.
sed 's/for: 0.2 s/for: 100 h/; /^variants/,$d' small.yaml >endless.yaml
for files in "small.yaml endless.yaml" "endless.yaml small.yaml"; do
  # shellcheck disable=SC2086
  interrupted INT 1000000 compare $files --every-cycle --jobs 2 --no-plots --out part
  quiet_err
  head -n 2 "$work/said/out" | tr '\n' ' ' |
    grep -q '^INTERRUPTED: these columns were not finished and are left out: endless ' ||
    complain "$what: not told first"
  out_has "One column: a turn-on of 0.2 s from cold with its hot restart"
  cut -d, -f1 part/figures.csv | sort -u | tr '\n' , >"$work/said/out"
  printf 'endless,small,small (hot restart),small (warm),variant,' | out
  grep '^small' part/figures.csv | cut -d, -f2- >"$work/said/small"
  grep '^base' one/figures.csv | cut -d, -f2- | cmp -s - "$work/said/small" ||
    complain "$what: other digits than a whole comparison"
  [ "$(grep '^endless,' part/figures.csv | sed 's/,[0-9.]*,s,/,N,s,/')" = \
    "endless,set,interrupted-at,N,s,,,no rating," ] || complain "$what: not marked in the figures"
done
# The pictures are left as scripts that say so.
interrupted INT 1000000 compare small.yaml endless.yaml --every-cycle --jobs 2 --out part
err_has "note: an interrupted run is not drawn."
grep -q 'INTERRUPTED: Small supply' part/plots/point-B+.gp || complain "$what: not in the title"
missing part/plots/point-B+.svg
done_
