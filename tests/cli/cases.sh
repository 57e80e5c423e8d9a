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
for part in C1 C2; do
  grep -qE "^$part +33 uF +33 uF +450 V +40[12] V c" "$work/said/out" || complain "buy-list: $part for 400 V"
done

# A pilot lamp drawn across the line, not across its section of the heater: it is said that it will not last.
sed '/^  lamp:/,/type:/s/line, tap/line, B-/' "$source/scenarios/ac-dc.yaml" >lamp.yaml
run 0 switch-on lamp.yaml --for 0.3s --no-plots --out lamp
out_has "lamp's voltage is too high: it"

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
# A rectifier in a car set hangs on the heaters' own points, and what the battery gives is direct
# current, of the vibrator and of the heaters together.
run 0 switch-on "$cases/heated-by-heaters.yaml" --for 2s --no-plots --out car
out_has "  battery drain"
grep -qE '^  heaters +6\.[0-9]+ V ' "$work/said/out" || complain "the heaters are not on direct current"
grep -q ' AC' "$work/said/out" && grep -qE '^  (heaters|battery drain).* AC' "$work/said/out" &&
  complain "a battery set with alternating heaters"

# Filaments fed from B+: silicon in place of selenium burns them, and it is said.
run 0 switch-on "$source/scenarios/selenium-portable.yaml" --variant silicon --no-plots --out portable
out_has "  * filaments"

# A tube that feeds a short is far beyond the heat its plates may shed.
run 0 switch-on "$source/scenarios/first-power.yaml" --variant "shorted on a fuse" --for 25s --no-plots --out short
grep -qE '  \* V[0-9]+: heat (about )?[0-9]+ W, >?[0-9]+ % of its ' "$work/said/out" || complain "the rectifier burns unsaid"

# What a bleeder does is a matter of ohms and microfarads: 26 uF through 1 Mohm from 463 V to 30 V, and
# as the load is at once for 70 mA at 300 V. Neither takes minutes to find out.
falls() {
  awk -F, -v low="$2" -v high="$3" '$1 == "C1" { seen = $8 > low && $8 < high } END { exit !seen }' \
    "$1/discharge.csv" || complain "$what: C1 to 30 V in another time: $(cut -d, -f 1,8 "$1/discharge.csv")"
}
sed 's/  LD: .*/  RR: {is: resistor, across: [B, chassis], resistance: 1 Mohm}/' \
  "$cases/ideal-winding.yaml" >bleeder.yaml
run 0 discharge bleeder.yaml --quiet --out bleeder
falls bleeder 70.5 71.9 # R C ln(463 V / 30 V) = 71.2 s
run 0 discharge "$cases/ideal-winding.yaml" --quiet --out loaded
falls loaded 0.24 0.29 # through 4.29 kohm from 315 V: 0.262 s

# Readings that disagree by half are the first thing that is said.
run 0 switch-on "$cases/readings-disagree.yaml" --no-plots --for 0.5s --out disagree
grep -A 1 '^Look at this first' "$work/said/out" | grep -q 'YOUR READINGS DISAGREE' ||
  complain "$what: not first"
tr -s ' \n' ' ' <"$work/said/out" | grep -q 'B+ reads 158 V where 24[0-9] V is calculated' ||
  complain "$what: not B+"

# The load that is sought is also the one that a quarter is taken from and added to.
run 0 find-value "$cases/scaled-load.yaml" --change "tubes.scaled by=1..2" --out scaled \
  --so-that "B+ settled-voltage = 219 V"
grep -q '^load -25 % *24[0-9]' "$work/said/out" || complain "$what: a smaller load"
grep -qE '^load \+25 % *(19|20)[0-9]' "$work/said/out" || complain "$what: a greater load"

# A picture goes as high as the table beside it.
sed '/^  silicon with resistor/,$d' "$cases/console.yaml" >console.yaml
run 0 compare console.yaml --for 0.5s --out console
grep -q '^C1 highest voltage .* 568 V! ' "$work/said/out" || complain "$what: C1 is not over its rating"
awk '/<< EOD/ { data = 1; next } /^EOD/ { data = 0 }
  data { for (i = 2; i <= NF; i++) if ($i > most) most = $i }
  END { exit !(most > 567 && most < 569) }' console/plots/point-first-filter.gp ||
  complain "$what: the picture does not reach 568 V"

# A field coil is as warm as its watts make it in every study.
run 0 try "$cases/coil-warms.yaml" "LD.draws=110 mA at 270 V" --quiet --no-plots --out coil
grep -q '^110 mA at 270 V,40[0-9.]*,250\.' coil/try.csv || complain "$what: B is not 250 V"

# A limit that is itself derived refuses no capacitor for a few per cent.
run 0 try "$cases/ac-dc-hums.yaml" C1.value=47uF --no-plots --out hums
out_has "47 uF is on the border"

# A portable on a dial: a steady state with its filaments far below the absolute zero was found.
# Either none is found, or nothing is colder than the room.
run 0 switch-on "$cases/portable-on-dial.yaml" --for 1s --quiet --no-plots --out dial
awk -F, '$3 == "temperature" && $4 < 297 {exit 1}' dial/figures.csv ||
  complain "$what: something is colder than the room"
done_
