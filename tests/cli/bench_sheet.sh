# SPDX-License-Identifier: GPL-3.0-or-later
# `bench-sheet`: the page, its files, the same bytes whatever --jobs, and what is refused.
. "$(dirname "$0")/expect.sh"
sed 's/make: film/make: modern/' "$here/small.yaml" >small.yaml

run 0 bench-sheet small.yaml --jobs 2 --out one
quiet_err
sed '/^Cautions/,$d' "$work/said/out" >"$work/said/page"
out_has "Local codes"
awk 'length > 80 { print "too wide: " $0 }' "$work/said/out" >"$work/said/wide"
[ -s "$work/said/wide" ] && complain "$what: $(cat "$work/said/wide")"
mv "$work/said/page" "$work/said/out"
out <"$here/bench_sheet.txt"
exists one/bench-sheet.csv one/figures.csv
awk -F, 'NR == 1 { next }
  $9 == 1 { seen[$2 "," $3] = 1 } $9 != "" { all[$2 "," $3] = 1 }
  END { for (k in all) { n++; if (!(k in seen)) print "not told from a sound set: " k }
        if (n != 8) print n " faults" }' one/bench-sheet.csv >"$work/said/out"
out </dev/null
run 0 bench-sheet small.yaml --jobs 1 --out two --quiet
silent
[ "$(cd one && sums .)" = "$(cd two && sums .)" ] || complain "other digits with --jobs 1"

before=$(sums one)
run 3 bench-sheet small.yaml --variant nothing --out one
err_has "there is no variant \`nothing\`"
run 3 bench-sheet missing.yaml
sed 's/^  closes at: zero/  shape: square/' small.yaml >vibrator.yaml
run 3 bench-sheet vibrator.yaml --out one
err_has "a bench sheet is for sets that are fed from the line"
run 2 bench-sheet
run 2 bench-sheet small.yaml --strict
err_has "\`bench-sheet\` has no option \`--strict\`"
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"

# What was read by then is kept, and said to be no whole sheet; ohms are there from the first step on.
interrupt INT 0 bench-sheet small.yaml --out three --jobs 1
for at in 1 $((steps / 2)); do
  interrupted INT "$at" bench-sheet small.yaml --out one --jobs 1
  out_has "INTERRUPTED: this is what was worked out by then."
  [ "$(wc -l <one/bench-sheet.csv)" -lt "$(wc -l <two/bench-sheet.csv)" ] || complain "$what: as long as the whole sheet"
  [ "$(head -n 2 one/bench-sheet.csv)" = "$(head -n 2 two/bench-sheet.csv)" ] || complain "$what: other digits"
  grep -q 'nan' one/bench-sheet.csv && complain "$what: what was not read is in the file"
done
done_
