# SPDX-License-Identifier: GPL-3.0-or-later
# `hot-chassis`: the sheet and its file, the same whatever --jobs, and what is refused.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .
sed 's/across: \[line, B-\]/across: [line, neutral]/; s/B-/earth/g
  s/^parts:/&\n  R9: {is: resistor, across: [neutral, earth], resistance: 1 ohm}/' small.yaml >earthed.yaml

run 0 hot-chassis small.yaml --out one
quiet_err
out <"$here/hot_chassis.txt"
for jobs in 1 3; do
  run 0 hot-chassis small.yaml --out "jobs$jobs" --jobs $jobs --quiet
  silent
  cmp -s one/hot-chassis.csv "jobs$jobs/hot-chassis.csv" || complain "other digits with --jobs $jobs"
done
run 0 hot-chassis small.yaml --point B+ --point B- --out two
out_has "From \`B+\` to the earth of the wall"
[ "$(wc -l <two/hot-chassis.csv)" -eq 13 ] || complain "$what: not two points in six states"

before=$(sums one)
run 2 hot-chassis small.yaml --point nowhere --out one
err_has "there is no point \`nowhere\`"
run 2 hot-chassis earthed.yaml --out one
err_has "the reference of this set is earth itself"
run 3 hot-chassis small.yaml --variant nothing --out one
run 2 hot-chassis
sed '/^mains:/,/closes at/d; s/line, AC in/B-, AC in/' small.yaml >battery.yaml
sed 's/^parts:/&\n  B1: {is: battery, across: [AC in, B-], voltage: 90 V}/' battery.yaml >cell.yaml
run 3 hot-chassis cell.yaml --out one
err_has "there are no mains"
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"
done_
