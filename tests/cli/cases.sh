# SPDX-License-Identifier: GPL-3.0-or-later
# Sets that once were answered wrongly, each with what must be said of it.
. "$(dirname "$0")/expect.sh"
cases=$source/tests/cases

# A set in which nothing is watched for itself (no capacitor, rectifier and mains) still runs.
run 0 switch-on "$cases/battery-fuse.yaml" --no-plots --quiet --out fuse
head -n 1 fuse/trace.csv >"$work/said/out"
out <<'END'
t [s],B1 [V],B1 [A],F1 [V],F1 [A],R1 [V],R1 [A]
END
grep -q '^base,F1,opens-at,0\.[0-9]*,s,' fuse/figures.csv || complain "the fuse does not open"

# A load takes nothing while its tubes are cold: behind the open switch the charge stays.
run 0 switch-on "$cases/battery-load.yaml" --no-plots --quiet --out battery
grep -q '^base,C1,bleed-down-time,inf,s,' battery/figures.csv || complain "something bleeds C1"

# With the load open only leakage would hold the volts down, and a new part's is not known: 400 V
# is not enough.
run 0 buy-list "$cases/dropper.yaml" --for 1s --out buy
out_has "C1                33 uF   33 uF  450 V   401 V c"
out_has "C2                33 uF   33 uF  450 V   401 V c"

# Which way the core was left magnetised nobody knows: switched on at the other zero the same set
# opens a fuse of 630 mA, so it must not be said to hold.
run 0 switch-on "$cases/core-left-magnetised.yaml" --no-plots --quiet --out core
grep -q '^base,mains fuse,opens-at,0\.0*1[0-9]*,s,' core/figures.csv || complain "the fuse holds"
run 0 fuse "$cases/core-left-magnetised.yaml" --out core
grep -q '  A  2 A fast ' "$work/said/out" || complain "a smaller fuse is said to hold"

# One picofarad beside 100 Mohm drowns in the tolerance of its volts: the run does not balance. It
# says so in its figures and by its exit code, which --force turns off.
off=$cases/picofarad.yaml
run 4 switch-on "$off" --no-plots --quiet --out off
err_has "warning: the run does not balance"
grep -q '^base,set,audit-energy,0\.0*[1-9][0-9]*,,1e-06,audit: .*,over,$' off/figures.csv ||
  complain "no row of the energy"
grep -q '^base,set,audit-charge,0\.[0-9]*,,1e-06,audit: .*,over,$' off/figures.csv ||
  complain "no row of the charge"
grep -q '^base,set,settled,0,' off/figures.csv || complain "it counts as settled"
run 0 switch-on "$off" --no-plots --quiet --out forced --force
err_has "warning: the run does not balance"
cmp -s off/figures.csv forced/figures.csv || complain "other figures with --force"
run 4 compare "$off" "$here/small.yaml" --no-plots --quiet --out compared
run 4 discharge "$off" --quiet --out emptied
run 0 discharge "$off" --quiet --out emptied --force
run 4 try "$off" R1.resistance=90Mohm,100Mohm --no-plots --quiet --out tried

# One that balances has the rows too.
run 0 switch-on "$here/small.yaml" --no-plots --quiet --out good
grep -q '^base,set,audit-energy,.*,1e-06,.*,within,$' good/figures.csv || complain "no row of it"
grep -q '^base,set,audit-charge,.*,1e-06,.*,within,$' good/figures.csv || complain "no row of it"
done_
