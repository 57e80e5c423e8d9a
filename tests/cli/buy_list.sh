# SPDX-License-Identifier: GPL-3.0-or-later
# `buy-list`: its tables and files, the same digits with any number of threads, and mistakes.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .

run 0 buy-list small.yaml --out one
quiet_err
out_has "a  line +10 %, hot"
# Below the crest of 128.7 V, 182 V: 200 V for an electrolytic, 250 V for a film capacitor.
out_has "C1                40 uF   47 uF  250 V   17"
out_has "plus to \`B+\`"
out_has "one 1N4007 for each plate does"
[ "$(head -n 1 one/buy-list.csv)" = part,quantity,buy,needed,unit,run,rule ] ||
  complain "$what: other columns in buy-list.csv"
awk 'length > 80 {exit 1}' "$work/said/out" || complain "$what: a line of more than 80 columns"

# Every run that is named stands in figures.csv, with the value it is named for.
# (Hot and cold are nearly the same here: nothing warms.)
row=$(sed -n 's/^C1,working-voltage,[^,]*,\([^,]*\),V,\("line +10 %, [a-z ]*"\),.*/\2,C1,highest-voltage,\1,/p' \
  one/buy-list.csv)
{ [ -n "$row" ] && grep -qF "$row" one/figures.csv; } ||
  complain "$what: the worst volts are not those of the run"

for jobs in 1 3; do
  run 0 buy-list small.yaml --out "jobs$jobs" --jobs $jobs --quiet
  silent
  for file in buy-list.csv figures.csv; do
    cmp -s one/$file "jobs$jobs/$file" || complain "other digits in $file with --jobs $jobs"
  done
done

before=$(sums one)
sed 's/value: 40 uF/value: 0.4 uF/' small.yaml >none.yaml
run 3 buy-list none.yaml --out one
out </dev/null
err_has "base: there is no filter capacitor to buy"
err_has "hint: a capacitor counts when it is an electrolytic, or has 1 uF or more"
run 3 buy-list small.yaml --variant "too small a ratin" --out one
err_has "did you mean \`too small a rating\`?"
run 2 buy-list
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"

# Silicon for selenium: the variant it tells, written as told, has find-value give the resistor.
sed '/threshold:/d; s/slope: .*/type: selenium 100 mA/' small.yaml >selenium.yaml
run 0 buy-list selenium.yaml --out selenium
awk 'length > 80 {exit 1}' "$work/said/out" || complain "$what: a line of more than 80 columns"
{
  echo "  with silicon:"
  sed -n '/In a variant/,/Then,/p' "$work/said/out" | sed '1d;$d;s/^    //'
} >>selenium.yaml
run 0 switch-on selenium.yaml --for 2s --quiet --no-plots --out old
volts=$(sed -n 's/^base,B+,settled-voltage,\([0-9.]*\),.*/\1/p' old/figures.csv)
run 0 find-value selenium.yaml --variant "with silicon" --change "D1 resistor.resistance" \
  --so-that "B+ settled-voltage = $volts V" --out with-silicon
quiet_err
ohms=$(sed -n 's/^D1 resistor.resistance = \([0-9.]*\) ohm gives .*/\1/p' "$work/said/out")
# A plate of 3 V and 20 ohm less a diode of 0.7 V and next to no ohms: above 20 ohm by some 2 V over
# the peaks of some 0.3 A.
awk -v r="$ohms" 'BEGIN {exit !(r > 20 && r < 40)}' || complain "$what: $ohms ohm"

# What is in the drawer: what will do is taken as long as it lasts, the rest is to be ordered.
cat >drawer.csv <<'END'
value;kind;pieces;rating;box
"47 uF";electrolytic;1;450 V;"3; left"
3.1 kohm;resistor;;10 W;
29 ohm;resistor;2;10 W;
1N4007;diode;;;
250 mA;slow fuse;0;250 V;
END
sed 's/make: film/make: dry/' small.yaml >old.yaml
before=$(sums one)
run 0 buy-list old.yaml --stock drawer.csv --out drawer
out_has "In the drawer (drawer.csv), and to order"
cat >wanted <<'END'
part,buy,pieces,drawer,line,order,price
C1,47 uF 200 V electrolytic,1,1,2,0,
R1,30 ohm 7 W resistor,1,1,4,0,
R2,3 kohm 20 W resistor,1,0,,1,
D1,1N4007 diode,1,1,5,0,
mains,250 mA slow fuse,1,0,,1,
END
cmp -s wanted drawer/order.csv ||
  { complain "$what: another order" && diff wanted drawer/order.csv; }
# Two in series stand in for one that few make, each with its resistors across it.
cat >drawer.csv <<'END'
kind,value,rating,pieces
electrolytic,22 uF,450 V,2
END
run 0 buy-list "$source/scenarios/field-coil.yaml" --stock drawer.csv --out series
head -3 series/order.csv >ordered
cat >wanted <<'END'
part,buy,pieces,drawer,line,order,price
C1,22 uF 350 V electrolytic,2,2,2,0,
across C1,90 kohm 1 W resistor,4,0,,4,
END
cmp -s wanted ordered || { complain "$what: another order" && diff wanted ordered; }
# One does not serve twice.
printf 'kind,value,rating,pieces\nelectrolytic,10 uF,600 V,1\n' >drawer.csv
run 0 buy-list "$source/scenarios/field-coil.yaml" --stock drawer.csv --out twice
sed -n '2,3p' twice/order.csv >ordered
cat >wanted <<'END'
C1,10 uF 550 V electrolytic,1,1,2,0,
C2,10 uF 550 V electrolytic,1,0,,1,
END
cmp -s wanted ordered || { complain "$what: another order" && diff wanted ordered; }
cat >drawer.csv <<'END'
kind,value,rating
resistor,33,2 W
END
run 3 buy-list small.yaml --stock drawer.csv --out one
err <<'END'
drawer.csv:2:10: error: `33` has no unit: ohms belong here
  resistor,33,2 W
           ^
  hint: write it as in `33 ohm`
END
run 3 buy-list small.yaml --stock none.csv --out one
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"

# Interrupted: old results stay as they were.
interrupted INT 20000 buy-list "$source/scenarios/field-coil.yaml" --for 100h --out one
err <<'END'
error: interrupted
  hint: nothing was written; results of earlier runs are as they were
END
[ "$before" = "$(sums one)" ] || complain "$what: old results did not stay whole"
done_
