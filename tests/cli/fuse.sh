# SPDX-License-Identifier: GPL-3.0-or-later
# `fuse`: the sheet and its file, and what is refused.
. "$(dirname "$0")/expect.sh"
sed 's/make: film/make: modern/' "$here/small.yaml" >small.yaml

run 0 fuse small.yaml --out one
quiet_err
out <"$here/fuse.txt"
[ "$(ls -A one)" = fuse.csv ] || complain "$what: other files"
grep -c '^1 A slow,IEC 60127-2 sheet 3,slow,1,.*,C1 shorted,' one/fuse.csv >"$work/said/n"
[ "$(cat "$work/said/n")" -eq 1 ] || complain "$what: no row of 1 A slow and C1 shorted"
run 0 fuse small.yaml --out quiet --quiet
silent
cmp -s one/fuse.csv quiet/fuse.csv || complain "other digits with --quiet"

# Heaters of a string on cathodes that a variant tells: one that a fuse sees, one that none sees.
cat >string.yaml <<'END'
format: 1
reference: B-
mains: {voltage: 117 V, frequency: 60 Hz, across: [line, B-]}
run: {for: 0.2 s}
parts:
  H1: {is: heater, across: [line, s1], rated: 105 V 0.3 A}
  H2: {is: heater, across: [s1, B-], rated: 12.6 V 0.3 A}
  R1: {is: resistor, across: [k, B-], resistance: 2 Mohm}
  R2: {is: resistor, across: [k, B-], resistance: 2 Mohm}
variants:
  shorts:
    H1: {condition: heater-cathode short, cathode: B-, short to: line, short resistance: 50 ohm}
    H2: {condition: heater-cathode short, cathode: k}
END
run 0 fuse string.yaml --out string
quiet_err
out_has "H1 heater-cathode short   2.62 A       -"
out_has "H2 heater-cathode short     299 mA         -   never"
out_has "315 mA slow opens within a minute at:"
out_has "    H1 heater-cathode short."
out_has "No more than usual is drawn at: H2 heater-cathode short. No fuse in the line"

before=$(sums one)
sed 's/^  closes at: zero/&\n  state: off/' small.yaml >off.yaml
run 3 fuse off.yaml --out one
err_has "the mains are off at the start of this run"
run 3 fuse small.yaml --variant nothing --out one
run 2 fuse small.yaml --strict
err_has "\`fuse\` has no option \`--strict\`"
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"
done_
