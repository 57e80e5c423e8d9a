# SPDX-License-Identifier: GPL-3.0-or-later
# `discharge`: the sheet and its file, an option it has not, mistakes, an unwritable folder.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .

run 0 discharge small.yaml --out one
quiet_err
out <"$here/discharge.txt"
head -2 one/discharge.csv | cut -d, -f1-3 | tr '\n' ' ' >"$work/said/head"
[ "$(cat "$work/said/head")" = "part,make,capacitance_F C1,film,4e-05 " ] ||
  complain "$what: other columns in discharge.csv"
[ "$(ls -A one)" = discharge.csv ] || complain "$what: other files"

run 0 discharge small.yaml --out quiet --quiet
silent
cmp -s one/discharge.csv quiet/discharge.csv || complain "other digits with --quiet"

run 0 discharge small.yaml --out html --html --cautions
quiet_err
out_has '<section aria-labelledby="p1">'
out_has '<section class="cautions"'
grep -q 'discharge.csv\|<html\|<style' "$work/said/out" && complain "$what: more than a part of a page"
cmp -s one/discharge.csv html/discharge.csv || complain "other digits with --html"

before=$(sums one)
run 3 discharge nowhere.yaml --out one
run 3 discharge small.yaml --variant nothing --out one
err_has "there is no variant \`nothing\`"
run 2 discharge small.yaml --cold
err_has "\`discharge\` has no option \`--cold\`"
run 2 discharge
err_has "\`discharge\` needs more than that"
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"
touch file
run 5 discharge small.yaml --out file/below
err_has "name another folder with --out"
done_
