# SPDX-License-Identifier: GPL-3.0-or-later
# `try`: lists, ranges and grids; the files; the same bytes whatever --jobs; wrong values.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .

run 0 try small.yaml C1.value=20uF,40uF,80uF --jobs 1 --out one --no-plots
quiet_err
grep -q '^3 runs in [0-9]*[.][0-9] s, 1 job busy [0-9]* %[.]$' "$work/said/out" ||
  complain "$what: not told how busy the processors were"
sed '/^Cautions/,$d' "$work/said/out" >"$work/said/table"
mv "$work/said/table" "$work/said/out"
out <"$here/try.txt"
cut -d, -f1 one/figures.csv | sort -u >"$work/said/out"
out <<'END'
C1.value=1000 uF
C1.value=1000 uF (hot restart at zero)
C1.value=20 uF
C1.value=20 uF (hot restart at zero)
C1.value=40 uF
C1.value=40 uF (hot restart at zero)
C1.value=80 uF
C1.value=80 uF (hot restart at zero)
variant
END
[ "$(wc -l <one/try.csv)" -eq 4 ] || complain "try.csv has not one row a value"

for jobs in 2 5; do
  run 0 try small.yaml C1.value=20uF,40uF,80uF --jobs $jobs --out "jobs$jobs" --quiet
  silent
  cmp -s one/figures.csv "jobs$jobs/figures.csv" || complain "other digits with --jobs $jobs"
  cmp -s one/try.csv "jobs$jobs/try.csv" || complain "another table with --jobs $jobs"
done
exists jobs2/plots/volts.gp jobs2/plots/ripple.gp jobs2/plots/peaks.gp

# What a tube's sheet says of its first capacitor, beside what its peaks allow.
cp small.yaml sheet.yaml
cat >>sheet.yaml <<'END'
  sheet:
    D1:
      running peak current: 515 mA
      first capacitor: 30 uF
      supply impedance: 50 ohm at 117 V
END
run 0 try sheet.yaml C1.value=20uF,30uF --variant sheet --out sheet --no-plots
quiet_err
tr '\n' ' ' <"$work/said/out" >"$work/said/line"
mv "$work/said/line" "$work/said/out"
out_has "C1.value up to 30 uF stays inside the ratings of D1 and its sheet's first capacitor in this set (proven by a run: its running peak then uses "
out_has "The sheet says up to 30 uF for the first capacitor, a stand-in for the peak current; the peak current itself would allow "
out_has "20 uF fits D1: nearest to its limit is its running peak, at 94 % of 515 mA."
out_has "It asks for at least 50 ohm before each plate with that; there are only 30.3 ohm: a resistor of 19.7 ohm or more in each plate's lead makes it up."
[ "$(grep -c '^C1.value=30 uF,D1,first-capacitor,' sheet/figures.csv)" -eq 1 ] ||
  complain "$what: the proof stands twice in the figures"

# A grid over a variant, many values, and words.
run 0 try small.yaml mains.voltage=105V..130V/6 R2.resistance=2kohm,4kohm --out grid --for 100ms \
  --variant "too small a rating"
quiet_err
out_has "12 values of mains.voltage and R2.resistance."
out_has "None of these values keeps everything within rating."
grep -q '^"mains.voltage=110 V, R2.resistance=4 kohm",' grid/figures.csv || complain "$what: labels"
run 0 try small.yaml R2.resistance=1kohm..9kohm/200 --out many --for 50ms --no-plots
out_has "The first 60 rows; all 200 are in many/try.csv."
[ "$(wc -l <many/try.csv)" -eq 201 ] || complain "$what: rows"
run 0 try small.yaml D1.type=1N4007,silicon --out words --for 50ms
head -n 1 words/try.csv | grep -q '^D1.type,' || complain "$what: heading"

run 2 try small.yaml
err_has "\`try\` needs more than that"
run 2 try small.yaml C1.value=5uF..1uF/3
out </dev/null
err <<'END'
C1.value=5uF..1uF/3: error: the range runs downwards
  hint: write 1uF..5uF/3
END
run 2 try small.yaml "C1.value=1uF +-10 %,2uF"
err_has "it tries exact values"
run 2 try small.yaml C1.value=1uF,2V
err <<'END'
C1.value=2 V: error: `2 V` is in volts where farads belong
  hint: write it as in `8 uF`
END
run 2 try small.yaml C9.value=1uF R2.resistence=1kohm
err_has "C9.value=1 uF: error: there is no part \`C9\` to change"
err_has "did you mean \`C1\`?"
run 2 try small.yaml R2.resistence=1kohm
err_has "R2.resistence=1 kohm: error: "
err_has "did you mean \`resistance\`?"
run 2 try small.yaml C1.value=1uF..200uF/200 R2.resistance=1kohm..90kohm/80
err_has "16000 runs; at most 10000 are made"
run 3 try missing.yaml C1.value=1uF
err_has "missing.yaml: error: there is no such file"
run 3 try small.yaml C1.value=1uF --variant nobody
err_has "there is no variant \`nobody\`"

# Interrupted: whole runs stand in a file of their own, old results stay as they were.
before=$(sums one)
interrupt INT 0 try small.yaml R2.resistance=1kohm..9kohm/200 --cold --for 1s --no-plots --quiet --out some --jobs 2
[ -f some/try.csv ] || complain "$what: 200 runs failed"
interrupted INT "$steps" try small.yaml R2.resistance=1kohm..9kohm/1500 --cold --for 1s --no-plots --out one --jobs 2
err_has "completed runs are in one/interrupted.csv"
exists one/interrupted.csv
tail -n 1 one/interrupted.csv | grep -q '(hot restart at zero)' || complain "$what: half a run"
rm one/interrupted.csv
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"
done_
