# SPDX-License-Identifier: GPL-3.0-or-later
# `find-value`: the answer, its files, and wishes that cannot be met.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .

run 0 find-value small.yaml --change R1.resistance --so-that "B+ settled-voltage = 130 V" --out one
quiet_err
sed '/^Cautions/,$d' "$work/said/out" >"$work/said/table"
mv "$work/said/table" "$work/said/out"
out <"$here/find_value.txt"
cut -d, -f1 one/figures.csv | sort -u | grep -c '^R1.resistance=[0-9.]* k\{0,1\}ohm$' >"$work/said/n"
[ "$(cat "$work/said/n")" -ge 15 ] || complain "$what: runs are missing in figures.csv"

# The proof is the run of that value; `try` ends it as soon as it has settled.
run 0 try small.yaml R1.resistance=110ohm --out proof --quiet --no-plots
value() { sed -n 's/^R1.resistance=110 ohm,B+,settled-voltage,\([0-9.]*\),.*/\1/p' "$1/figures.csv"; }
awk -v a="$(value one)" -v b="$(value proof)" 'BEGIN {d = (a - b) / b
  exit !(a > 100 && d < 5e-4 && d > -5e-4)}' || complain "$what: the proof is not that run"

for jobs in 1 3; do
  run 0 find-value small.yaml --change R1.resistance --so-that "B+ settled-voltage = 130 V" \
    --out "jobs$jobs" --jobs $jobs --quiet
  silent
  cmp -s one/figures.csv "jobs$jobs/figures.csv" || complain "other digits with --jobs $jobs"
done

run 0 find-value small.yaml --change C1.value --so-that "B+ ripple-rms < 2 V" --out ripple
out_has "proposed"
out_has "Nearest preferred value that meets it: "

before=$(sums one)
run 4 find-value small.yaml --change R1.resistance --so-that "B+ settled-voltage = 2000 V" --out one
out </dev/null
err_has "error: no value of R1.resistance gives B+ settled-voltage = 2000 V"
err_has "hint: B+ settled-voltage goes from "
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"

run 2 find-value small.yaml --change R1.resistance
err <<'END'
error: it takes one --change and one --so-that, or two of each
  hint: presolder find-value scenarios/field-coil.yaml --change C1.value --so-that "B+ ripple-rms < 0.2 V"
END
run 2 find-value small.yaml --change R1.resistance --so-that "B+ settled-voltage 130 V"
err_has "B+ settled-voltage 130 V: error: no \`=\`, \`<\` or \`>\` in what is wanted"
run 2 find-value small.yaml --change R1.resistance --so-that "B+ setled-voltage = 130 V"
err_has "did you mean \`settled-voltage\`?"
run 2 find-value small.yaml --change R1.resistence --so-that "B+ settled-voltage = 130 V"
err_has "R1.resistence: error: a resistor has no key \`resistence\`"
err_has "did you mean \`resistance\`?"
run 2 find-value small.yaml --change C1.make --so-that "B+ settled-voltage = 130 V"
err_has "\`C1.make\` holds no quantity to begin from"
run 3 find-value small.yaml --change R9.resistance --so-that "B+ settled-voltage = 130 V"
err_has "there is no part \`R9\` to change"
err_has "did you mean \`R1\`?"

# Two values for two wishes: 300 V less 50 mA times R1 less 20 mA times R2.
cp "$here/two.yaml" .
both() {
  code=$1 screens=$2
  shift 2
  run "$code" find-value two.yaml --change R1.resistance --change R2.resistance \
    --so-that "plates settled-voltage = 253 V" --so-that "screens settled-voltage = $screens" "$@"
}
both 0 "200 V" --out two
quiet_err
out_has "R1.resistance = 940 ohm with R2.resistance = 2.65 kohm gives 253 V and 200 V."
out_has "Best preferred pair: 910 ohm and 2.7 kohm, proven by a run: 254.5 V and 200.5 V."
out_has "R1 dissipates 2.28 W"
out_has "R2 dissipates 1.08 W"
grep -q '^"R1.resistance=910 ohm, R2.resistance=2.7 kohm",screens,settled-voltage,200[.]499' \
  two/figures.csv || complain "$what: the proof is not in the figures"
both 0 "200 V" --out two-1 --jobs 1 --quiet
silent
cmp -s two/figures.csv two-1/figures.csv || complain "$what: other digits with --jobs 1"
both 4 "260 V" --out two
out </dev/null
err_has "error: no values of R1.resistance and R2.resistance give both"
err_has "hint: where plates settled-voltage is 253 V, screens settled-voltage goes from about "
cmp -s two/figures.csv two-1/figures.csv || complain "$what: old results did not stay whole"
run 2 find-value two.yaml --change R1.resistance --change R1.resistance \
  --so-that "plates settled-voltage = 253 V" --so-that "screens settled-voltage = 200 V"
err_has "error: R1.resistance is to be changed twice"

# Interrupted: old results stay as they were.
interrupted INT 20000 find-value small.yaml --cold \
  --change R1.resistance --so-that "B+ settled-voltage = 130 V" --for 100h --out one
err <<'END'
error: interrupted
  hint: nothing was written; results of earlier runs are as they were
END
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"
done_
