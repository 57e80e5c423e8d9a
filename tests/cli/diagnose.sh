# SPDX-License-Identifier: GPL-3.0-or-later
# `diagnose`: the answer, its file, and readings that name nothing.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .

run 0 diagnose small.yaml --reading "B+ DC = 137 V" --reading "B+ AC = 9.4 V" --out one
quiet_err
out_has "Most likely: R2: drifted (resistance 1.5"
out_has "Read next"
out_has "Unplugged is not dead"
exists one/diagnosis.csv
[ "$(head -1 one/diagnosis.csv)" = "rank,part,cause,severity,unit,share,misfit,group" ] ||
  complain "$what: another head of diagnosis.csv"
sed -n 2p one/diagnosis.csv | grep -q '^1,R2,drifted,1[45].*,ohm,0\.' || complain "$what: another first row"
awk -F, 'NR > 1 && $1 != "" {gsub(/"[^"]*"/, "x"); s += $6} END {exit !(s > 0.999999 && s < 1.000001)}' \
  one/diagnosis.csv || complain "$what: shares do not add up to 1"

# The same readings from a file, and in the scenario.
cat >readings.yaml <<'END'
measured:
  B+: {DC: 137 V, AC: 9.4 V}
END
run 0 diagnose small.yaml --readings readings.yaml --out two --quiet
silent
cmp -s one/diagnosis.csv two/diagnosis.csv || complain "$what: another answer from a file"
cat small.yaml readings.yaml >with.yaml
run 0 diagnose with.yaml --out three --jobs 1 --quiet
silent
cmp -s one/diagnosis.csv three/diagnosis.csv || complain "$what: another answer from the scenario"
run 0 check with.yaml

run 3 diagnose small.yaml --reading "B++ DC = 110 V"
err_has "no point or part is called \`B++\`"
run 3 diagnose small.yaml --reading "R2 ripple-frequency = 60 Hz"
err_has "nothing gives"
run 3 diagnose small.yaml --reading "B+ DC 110 V"
err_has "no \`=\` in the reading"
run 3 diagnose small.yaml
err_has "nothing was read, so there is nothing to diagnose"
printf 'measures: {B+: 3 V}\n' >wrong.yaml
run 3 diagnose small.yaml --readings wrong.yaml
err_has "unknown key \`measures\`"
run 3 diagnose small.yaml --readings missing.yaml
# A set declared healthy moves the model, and cannot be diagnosed at the same time.
printf 'measured:\n  B+: {DC: 143 V, AC: 5.3 V}\n' >healthy.yaml
run 0 diagnose small.yaml --readings readings.yaml --match-healthy healthy.yaml --no-plots
out_has "Matched to the healthy readings of healthy.yaml first:"
out_has "R2: drifted"
run 3 diagnose small.yaml --readings readings.yaml --match-healthy readings.yaml
err_has "the same readings cannot be healthy and be diagnosed"

# Of dated readings the latest count, or those that are named.
cat >dated.yaml <<'END'
measured:
  - {name: as found, date: 2026-11-02, B+: 20 V}
  - {name: repaired, date: 2026-11-09, B+: 143 V}
END
run 0 diagnose small.yaml --readings dated.yaml --no-plots
out_has "Left out, since taken at another time: as found"
run 0 diagnose small.yaml --readings dated.yaml --set "as found" --no-plots
out_has "Left out, since taken at another time: repaired"
run 3 diagnose small.yaml --readings dated.yaml --set "as fond"
err_has "no set of readings is called \`as fond\`"
err_has "as found"

run 2 diagnose
done_
