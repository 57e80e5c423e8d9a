# SPDX-License-Identifier: GPL-3.0-or-later
# `parts` and `check`: the catalogue with its sources, the assumed values with their reasons.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .

run 0 parts
quiet_err
cp "$work/said/out" all
for kind in capacitor rectifier tube; do
  grep -q "^$kind" all || complain "parts: no $kind"
done
grep -q '^  5Y3-GT .*5 V 2 A.*drop 50 V at 125 mA' all ||
  complain "parts: 5Y3-GT without its values"
# Every model of the files is there, by its name.
for model in $(sed -n 's/^  \([^ :][^ :]*\):$/\1/p' "$source"/models/rectifiers*.yaml); do
  grep -qF "  $model " all || complain "parts: no $model"
done

run 0 parts 5y3gt
quiet_err
out_has "5Y3-GT"
out_has "  drop: 50 V at 125 mA"
out_has "      second hand"
awk 'length > 80' "$work/said/out" | grep -q . && complain "parts 5y3gt: lines over 80 columns"
# Each value is followed by its source; only the law and the note have none.
awk '/^  [^ ]/ {if (waiting) bad = 1; waiting = !/^  (is|law|note):/} /^      / {waiting = 0}
     END {exit bad || waiting}' "$work/said/out" ||
  complain "parts 5y3gt: a value without its source"

run 0 parts lamp
quiet_err
head -n 1 "$work/said/out" | grep -q '^lamp' || complain "parts lamp: not its kind"

run 0 parts resistor
quiet_err
sed -n '/^  faults:/,$p' "$work/said/out" >"$work/said/faults"
mv "$work/said/faults" "$work/said/out"
out <<'END'
  faults:
    drifted: its resistance is no longer what is printed on it
          resistance: 50 % to 500 % of its value, usually 150 %
    open: it no longer conducts
    shorted (dangerous): bridged by what lies beside it
END
for kind in capacitor rectifier load heater choke "power transformer"; do
  run 0 parts "$kind"
  out_has "  faults:"
  sed -n '/^  faults:/,/^  models:/p' "$work/said/out" | awk 'length > 80' | grep -q . &&
    complain "parts $kind: lines over 80 columns"
done

# The example of every kind works where it is pasted, and so do those of what is beside the parts;
# readings are written in one of two ways.
pasted() {
  echo 'format: 1'
  for section in words chart measured variants; do
    run 0 parts "$section"
    [ "$section" = variants ] && echo 'variants:'
    sed -n 's/^    //p' "$work/said/out" | sed "$([ "$section" = variants ] && echo 's/^/  /')" |
      awk -v way="$1" '/^measured:/ { n++ } /^meter:/ { n = way } n == 0 || n == way'
  done
  echo 'mains: {voltage: 117 V}'
  echo 'parts:'
  for kind in capacitor resistor choke "field coil" rectifier "power transformer" lamp fuse \
    thermistor barretter load heater battery switch; do
    run 0 parts "$kind"
    out_has "  example:"
    sed -n '/^  example:/,/^  keys:/s/^    /  /p' "$work/said/out"
  done
  for point in neutral B+ tap "first filter" "line 2" "string 1" "string 2" "plate 1"; do
    echo "  to $point: {is: resistor, across: [$point, chassis], resistance: 1 Mohm}"
  done
}
for way in 1 2; do
  pasted $way >pasted.yaml
  run 0 check pasted.yaml
  out_has "OK: pasted.yaml"
done

run 0 check small.yaml
quiet_err
out_has "  * Rules: Local codes and licensed practice go first"
sed '/^Cautions/,$d' "$work/said/out" | sed '$d' >"$work/said/list"
mv "$work/said/list" "$work/said/out"
out <<'END'
OK: small.yaml
Small supply on the line (invented)
4 parts, 4 points, 1 variant

base: 1 assumed value, of them 0 guesses

  C1
    surge: 250 V
        its working voltage; no surge voltage is customary for this make
        to find out: printed on some cans, else in the data sheet

too small a rating: 1 assumed value beyond base, of them 0 guesses

  C1
    surge: 100 V
        its working voltage; no surge voltage is customary for this make
        to find out: printed on some cans, else in the data sheet
END

# How many values are read, second hand, derived, from memory: no source is of no grade, the table adds
# up, and the README gives the same figures.
run 0 parts --sources
quiet_err
awk 'length > 80' "$work/said/out" | grep -q . && complain "parts --sources: lines over 80 columns"
[ "$(grep -c '\.yaml ' "$work/said/out")" = "$(ls "$source"/models/*.yaml | wc -l)" ] ||
  complain "parts --sources: not a row for each file"
awk '/\.yaml / {for (k = 2; k <= 5; k++) sum[k] += $k}
     /^all / {for (k = 2; k <= 5; k++) if (sum[k] != $k) exit 1}' "$work/said/out" ||
  complain "parts --sources: the last row is not the sum of the others"
awk '/^all / {print "Of the " $2 + $3 + $4 + $5 " values of the catalogue " $2 " were read in makers\047 sheets, " \
                    $3 " are second hand, " $4 " derived and " $5 " from memory."}' \
  "$work/said/out" >line
grep -qF "$(cat line)" "$source/README.md" || complain "README.md does not say: $(cat line)"
grep -nE '(https?:|www\.|[a-z]\.(com|org|net|de|uk)\b)' "$source"/models/*.yaml &&
  complain "models: the address of a web host"

# What a guess about a winding does to B+ is said beside it.
sed 's/resistance: .112 ohm, 121 ohm./resistance: unknown/' "$source/scenarios/field-coil.yaml" >coil.yaml
grep -q 'resistance: unknown' coil.yaml || complain "the shipped scenario has changed: mend this test"
run 0 check coil.yaml
out_has "  ? resistance: "
grep -qE 'B\+: 2[0-9]{2} V at the low end, 2[0-9]{2} V as taken, [12][0-9]{2} V at the high end' "$work/said/out" ||
  complain "check: how much hangs on the winding is not said"

# A guess is counted, marked, and told with its bounds and with the reading that would replace it.
sed 's/value: 40 uF/value: 8 uF/; /make: film/d; /series resistance/d' small.yaml >guess.yaml
run 0 check guess.yaml
quiet_err
out_has "base: 2 assumed values, of them 1 guess, marked ?"
out_has "  ? series resistance: "
out_has " to "
out_has "        to find out: "
done_
