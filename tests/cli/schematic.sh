# SPDX-License-Identifier: GPL-3.0-or-later
# `schematic`: the file, its options, where its voltages come from, and what is refused.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .

run 0 schematic small.yaml --out one
quiet_err
out_has "The drawing ("
out_has "mm, fits A4): one/schematic.svg"
out_has "fits A4"
grep -q "run of 0.2 s from switch-on" one/schematic.svg || complain "no run was made"
grep -q '>line<' one/schematic.svg || complain "the column lacks a point"
grep -q '>117 V<' one/schematic.svg || complain "the column lacks the line's volts"
[ "$(ls -A one)" = schematic.svg ] || complain "more than one file: $(ls -A one)"

# The same bytes again, and without a sound.
run 0 schematic small.yaml --out two --quiet
silent
cmp -s one/schematic.svg two/schematic.svg || complain "other bytes the second time"

# Voltages of the last run in the folder, but not of an older one, nor of another variant.
run 0 switch-on small.yaml --out run --no-plots --quiet
run 0 schematic small.yaml --out run
grep -q "of the last run (figures.csv)" run/schematic.svg || complain "a run was made anew"
exists run/figures.csv run/trace.csv
run 0 schematic small.yaml --out run --variant "too small a rating"
grep -q "run of 0.2 s" run/schematic.svg || complain "figures of another variant"
grep -q "at most 100 V" run/schematic.svg || complain "what is over its rating is not told"
run 0 schematic small.yaml --out run --for 0.3s
grep -q "run of 0.3 s" run/schematic.svg || complain "--for made no run"
sleep 1.1
touch small.yaml
run 0 schematic small.yaml --out run
grep -q "run of 0.2 s" run/schematic.svg || complain "figures older than the scenario"

# Options.
run 0 schematic small.yaml --out zigzag --zigzag --without-voltages
grep -q "L2-4.2L-2" zigzag/schematic.svg || complain "no zigzag"
grep -q "from switch-on" zigzag/schematic.svg && complain "a run without being asked"
run 0 schematic small.yaml --out grey --black-and-white
grep -o '#[0-9a-f]*' grey/schematic.svg | grep -vE '^#(000|fff)$' && complain "colours in black and white"
run 0 schematic "$source/scenarios/first-power.yaml" --out narrow --narrow --without-voltages
width=$(sed -n 's/.*width="\([0-9]*\).*mm" height.*/\1/p' narrow/schematic.svg)
[ "${width:-999}" -lt 125 ] || complain "narrow is $width mm wide"

# Another program reads it.
if command -v xmllint >/dev/null; then
  for file in one run zigzag grey narrow; do
    xmllint --noout --nonet $file/schematic.svg || complain "$file: no XML"
  done
fi

before=$(sums one)
run 3 schematic small.yaml --variant nothing --out one
run 3 schematic missing.yaml --out one
run 2 schematic
run 2 schematic small.yaml --strict
err_has "\`schematic\` has no option \`--strict\`"
echo x >file
run 5 schematic small.yaml --out file/in
err_has "name another folder with --out"
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"
done_
