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

before=$(sums one)
sed 's/^  closes at: zero/&\n  state: off/' small.yaml >off.yaml
run 3 fuse off.yaml --out one
err_has "the mains are off at the start of this run"
run 3 fuse small.yaml --variant nothing --out one
run 2 fuse small.yaml --strict
err_has "\`fuse\` has no option \`--strict\`"
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"
done_
