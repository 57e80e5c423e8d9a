# SPDX-License-Identifier: GPL-3.0-or-later
# `tolerances`: the answer, the files, the same bytes whatever --jobs; tolerances in the file, wrong
# ones among them; what a second run leaves.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .

run 0 tolerances small.yaml --samples 60 --jobs 1 --out one
quiet_err
out_has "60 sets were run, each with its 7 uncertain values somewhere in their ranges"
awk 'length > 80' "$work/said/out" >"$work/said/wide"
[ -s "$work/said/wide" ] && complain "$what: lines longer than 80 columns" && cat "$work/said/wide"
out_has "What the meter may read"
out_has "What moves it most"
exists one/tolerances.csv one/influence.csv one/ranges.csv one/plots/bands.gp one/plots/influence.gp
head -1 one/tolerances.csv >"$work/said/out"
out <<'END'
variant,subject,measure,least,p05,p50,p95,most,unit,limit,share_over
END
awk -F, 'NR > 1 && !($4 <= $5 && $5 <= $6 && $6 <= $7 && $7 <= $8)' one/tolerances.csv >"$work/said/out"
out </dev/null
awk -F, 'NR > 1 && $11 != "" && ($11 < 0 || $11 > 1)' one/tolerances.csv >"$work/said/out"
out </dev/null
grep -q '^mains,voltage,117,114,126,V,even,line,,' one/ranges.csv ||
  complain "the line's range is not that of its standard"

run 0 tolerances small.yaml --samples 60 --jobs 3 --out three --quiet --black-and-white
silent
for file in tolerances.csv influence.csv ranges.csv; do
  cmp -s one/$file three/$file || complain "other digits with --jobs 3 in $file"
done
run 0 tolerances small.yaml --samples 60 --seed 2 --out other --quiet --no-plots
silent
cmp -s one/tolerances.csv other/tolerances.csv && complain "another seed, the same sets"
missing other/plots

# A tolerance beside a value wins; what is exact stays.
sed 's/voltage: 117 V/voltage: 117 V +-1 %/' small.yaml >stated.yaml
grep -q '117 V +-1 %' stated.yaml || complain "small.yaml has no voltage of 117 V any more"
run 0 tolerances stated.yaml --samples 2 --out stated --quiet --no-plots
grep -q '^mains,voltage,117,115.83,118.17,V,even,stated,,' stated/ranges.csv ||
  complain "the stated tolerance of the line is not taken"
run 0 check stated.yaml
sed 's/voltage: 117 V/voltage: 117 V exact/' small.yaml >exact.yaml
run 0 tolerances exact.yaml --samples 2 --out exact --quiet --no-plots
grep -q '^mains,voltage,' exact/ranges.csv && complain "the exact line is varied"
run 0 tolerances small.yaml --samples 2 --out two --no-plots
out_has "Too few sets to see which value moves what"

# Wrong ones stand at their place, with a hint.
sed 's/voltage: 117 V/voltage: 117 V +-1 furlong/' small.yaml >wrong.yaml
run 3 tolerances wrong.yaml --samples 2 --out wrong
err_has '`+-1 furlong` is no tolerance'
err_has 'write it as in `+-5 %`'
missing wrong
run 2 tolerances small.yaml --samples none
err_has "--samples takes a whole number"
run 2 try small.yaml C1.value=1uF,2uF --samples 3
err_has '`try` has no option `--samples`'
run 3 tolerances small.yaml --variant nonesuch
err_has "nonesuch"

# Turn-ons.
run 0 tolerances small.yaml --samples 3 --cold --for 200ms --out cold --no-plots
out_has "Each is a turn-on of 0.2 s from cold"
grep -q 'base (hot restart),D1,inrush-peak-current,' cold/tolerances.csv ||
  complain "turn-ons without their hot restart"

# The summary of a turn-on gives the range of each reading, where that is quick, or is asked for.
run 0 switch-on small.yaml --no-plots --out summary
out_has "9 of 10"
run 0 switch-on small.yaml --no-plots --quiet --tolerances --out summary
silent
done_
