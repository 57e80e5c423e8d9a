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
    open: it conducts no more
    shorted (dangerous): bridged by what lies beside it
END
for kind in capacitor rectifier load heater choke "power transformer"; do
  run 0 parts "$kind"
  out_has "  faults:"
  sed -n '/^  faults:/,/^  models:/p' "$work/said/out" | awk 'length > 80' | grep -q . &&
    complain "parts $kind: lines over 80 columns"
done

run 0 check small.yaml
quiet_err
out <<'END'
OK: small.yaml
Small supply on the line (invented)
4 parts, 4 points, 1 variant

base: 1 assumed value, of them 0 guesses

  C1
    surge: 250 V
        its working voltage; no surge voltage is customary for this make
        to know it: printed on some cans, else in the data sheet

too small a rating: 1 assumed value beyond base, of them 0 guesses

  C1
    surge: 100 V
        its working voltage; no surge voltage is customary for this make
        to know it: printed on some cans, else in the data sheet
END

# A guess is counted, marked, and told with its bounds and with the reading that would replace it.
sed 's/value: 40 uF/value: 8 uF/; /make: film/d; /series resistance/d' small.yaml >guess.yaml
run 0 check guess.yaml
quiet_err
out_has "base: 2 assumed values, of them 1 guess, marked ?"
out_has "  ? series resistance: "
out_has " to "
out_has "        to know it: "
done_
