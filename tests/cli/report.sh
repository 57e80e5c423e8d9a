# SPDX-License-Identifier: GPL-3.0-or-later
# `report` and `report --for owner`: what is in the page, the same bytes again, without gnuplot, and
# what is refused. How it looks is asked of a browser, in tests/browser.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .
SOURCE_DATE_EPOCH=1000000000
export SOURCE_DATE_EPOCH

# page_has, page_lacks FILE TEXT
page_has() { grep -qF -e "$2" "$1" || complain "$what: $1 lacks: $2"; }
page_lacks() { grep -qF -e "$2" "$1" && complain "$what: $1 has: $2"; }
# How often a text is there.
count() { grep -oF -e "$2" "$1" | wc -l; }

run 0 report small.yaml --out one
quiet_err
out_has "The report is in one/report.html."
for text in '<h1>Small supply on the line (invented)</h1>' 'Is every part within its rating' \
  'Yes, as far as ratings are known. The smallest margin: C1,' 'Look at this first' \
  'What the meter should read' '<caption id="p' 'you read' 'Margins, the worst first' \
  'What was assumed' 'Cautions' 'Unplugged is not dead' 'Made on 2001-09-09 with presolder' \
  '<code>small.yaml</code>' 'passed'; do
  page_has one/report.html "$text"
done
# Nothing is fetched, nothing runs.
for text in '<script' '<link' '<img' 'url(http' 'src=' '<?xml' '<iframe'; do
  page_lacks one/report.html "$text"
done
if command -v gnuplot >/dev/null; then
  pictures=$(ls one/plots/*.svg | wc -l)
  [ "$(count one/report.html 'aria-label=')" -eq "$pictures" ] || complain "$what: not all pictures"
  [ "$pictures" -ge 3 ] || complain "$what: $pictures pictures"
fi
[ "$(count one/report.html '<svg ')" -eq $((${pictures:-0} + 2)) ] || complain "$what: no schematic"
exists one/figures.csv
run 0 report small.yaml --out two --quiet
silent
cmp -s one/report.html two/report.html || complain "$what: other bytes the second time"
run 0 report small.yaml --out one-job --quiet --variant base --variant "too small a rating" --jobs 1
run 0 report small.yaml --out two-jobs --quiet --variant base --variant "too small a rating" --jobs 2
cmp -s one-job/report.html two-jobs/report.html || complain "$what: other bytes with two jobs"

# Several beside one another.
for text in 'Which of these 2 keep' '<h2 id="p1">Side by side' 'too small a rating, beside base' \
  'too small a rating:</strong> No' '<tr class="over">'; do
  page_has one-job/report.html "$text"
done

# Included sheets, in one option or several.
run 0 report small.yaml --out sheets --quiet --no-plots --include shopping-list,tolerances \
  --include bench-sheet
for text in 'Shopping list</h2>' 'Bench sheet</h2>' 'Tolerances</h2>' 'ripple to carry' \
  '<td class="blank">' 'Pictures were left out'; do
  page_has sheets/report.html "$text"
done
missing sheets/plots

# Without gnuplot the rest is there, and the page says how to get the pictures.
what="without gnuplot"
mkdir bare
PATH="$work/box/bare" "$program" report small.yaml --out bare/out >"$work/said/out" 2>"$work/said/err" ||
  complain "$what: exit code $?"
page_has bare/out/report.html 'No pictures: gnuplot was not found'
page_has bare/out/report.html 'Margins, the worst first'
err_has 'no pictures, since gnuplot is not installed'
exists bare/out/plots/first-cycles.gp

# The first sheet of paper is full: margins come before the schematic, which may take one of its own.
margins=$(grep -n 'Margins, the worst first' bare/out/report.html | head -1 | cut -d: -f1)
wired=$(grep -n 'How it is wired' bare/out/report.html | head -1 | cut -d: -f1)
[ "${margins:-0}" -gt 0 ] && [ "$margins" -lt "${wired:-0}" ] ||
  complain "$what: the schematic comes before the margins"

# For the owner: what is known, and blanks.
run 0 report small.yaml --out owner --for owner
out_has "The page for the owner is in owner/owner.html."
for text in 'Repair record: Small supply' 'This is no safety certificate' '2001-09-09' \
  'touch current' 'insulation' 'can temperature after an hour' 'hours of work'; do
  page_has owner/owner.html "$text"
done
missing owner/report.html
cat small.yaml - >dated.yaml <<'END'
repair:
  ticket: 26-17
  complaint: it hums <loudly>
  done: [C1 replaced, cord replaced]
measured:
  - {name: as found, date: 2026-11-20, B+: {DC: 120 V, AC: 9 V}}
  - {name: repaired, date: 2026-11-28, B+: 158 V, line current: 140 mA}
END
run 0 report dated.yaml --out owner --for owner --for 0.3s --quiet
silent
for text in '26-17' 'it hums &lt;loudly&gt;' 'C1 replaced; cord replaced' \
  'before: as found, 2026-11-20' 'after: repaired, 2026-11-28' '120&nbsp;V' '158&nbsp;V' '<th scope="row">line current</th>' \
  '140&nbsp;mA'; do
  page_has owner/owner.html "$text"
done

# The latest of dated sets stands beside the chart.
run 0 switch-on dated.yaml --for 0.3s --out dated
grep -q 'reads 120 V where' "$work/said/out" && complain "$what: the set as it was found is held against it"

# Mistakes; old results stay whole.
before=$(sums one)
run 2 report small.yaml --include shopping --out one
err <<'END'
error: --include does not know `shopping`
  hint: it takes shopping-list, bench-sheet, tolerances
END
run 2 report small.yaml --for owner --include tolerances --out one
err_has "the page for the owner is of one set, as it goes back"
run 2 switch-on small.yaml --for owner --out one
err_has 'only `report` is made `--for owner`'
run 2 report small.yaml --for boss --out one
run 3 report small.yaml --variant nothing --out one
run 3 report missing.yaml --out one
sed 's/date: 2026-11-28/date: 28.11.2026/' dated.yaml >undated.yaml
run 3 report undated.yaml --out one
err_has 'write it as in `date: 2026-11-28`'
SOURCE_DATE_EPOCH=yesterday
run 2 report small.yaml --out one
err <<'END'
error: SOURCE_DATE_EPOCH is no number of seconds: `yesterday`
  hint: unset it, or set it to seconds since 1970
END
unset SOURCE_DATE_EPOCH
echo x >file
run 5 report small.yaml --out file/in
err_has "name another folder with --out"

# Interrupted: nothing is written.
interrupted INT 20000 report "$source/scenarios/field-coil.yaml" --out one --include tolerances
err_has "interrupted"
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"
done_
