# SPDX-License-Identifier: GPL-3.0-or-later
# `new`: every form is a scenario that runs as it is, and no file is ever written over.
. "$(dirname "$0")/expect.sh"

run 0 new
quiet_err
out_has "kinds of scenario that \`presolder new KIND [FILE]\` writes:"
kinds="ac-dc amplifier back-bias bridge choke-input doubler empty european field-coil portable"
kinds="$kinds vibrator"
listed=$(sed -n 's/^  \([a-z-]*\)  .*/\1/p' "$work/said/out" | tr '\n' ' ')
[ "$listed" = "$kinds " ] || complain "the kinds are $listed"

for kind in $kinds; do
  run 0 new "$kind"
  quiet_err
  exists "$kind.yaml"
  grep -q 'SPDX' "$kind.yaml" &&
    complain "$kind.yaml: the licence belongs to the form, not to the user"
  [ "$(grep -c '# .*?' "$kind.yaml")" -ge 5 ] || complain "$kind.yaml asks no questions"
  run 0 check "$kind.yaml"
  grep -q error "$work/said/err" && complain "$what: errors" && cat "$work/said/err"
  out_has "OK: $kind.yaml"
  out_has "values made up"
  run 0 switch-on "$kind.yaml" --for 100ms --quiet --no-plots
  out </dev/null
  exists "presolder-out/$kind/figures.csv"
done

# The trade's other names: reports of the UK, and readings by either name.
# A transformer switched off has nothing but rounding errors to rectify: that ended in an error.
run 0 hot-chassis european.yaml
out_has "nothing through a person"

# The tubes are named, so what they draw may be unknown.
for kind in ac-dc amplifier back-bias bridge choke-input doubler european field-coil portable vibrator; do
  sed 's/^    draws: .*/    draws: unknown/' "$kind.yaml" >unknown.yaml
  run 0 check unknown.yaml
  out_has "? draws: "
done

run 0 switch-on european.yaml --for 100ms --no-plots --full
out_has "Read each anode to the centre tap"
out_has "mains current"
grep -qE 'B[+]|[Tt]ubes|[Pp]lates' "$work/said/out" && complain "$what: words of the US"
run 0 compare european.yaml --variant base --variant "high mains" --for 100ms --no-plots
grep -qE 'B[+]|[Tt]ubes|[Pp]lates|[Ss]ocket' "$work/said/out" && complain "$what: words of the US"
sed 's/^  B+: /  HT line: /' field-coil.yaml >either.yaml
grep -q "HT line:" either.yaml || complain "either.yaml: no chart by the other name"
run 0 switch-on either.yaml --for 100ms --no-plots
grep -qE "^  B[+] .*240 V" "$work/said/out" || complain "$what: the chart of HT is not that of B+"
sed 's/    rated: 450 V/    rated: 450 V\n    ESR: 7 ohm/; s/is: power transformer/is: mains transformer/' \
  field-coil.yaml >either.yaml
run 0 check either.yaml
grep -q "series resistance" "$work/said/out" && complain "$what: ESR is not read"
sed 's/^title:/words: GB\ntitle:/' field-coil.yaml >either.yaml
run 3 check either.yaml
err_has "\`words\` takes US or UK"

run 0 new
awk 'length > 80' "$work/said/out" | grep -q . && complain "$what: lines over 80 columns"
run 0 parts
awk 'length > 80' "$work/said/out" | grep -q . && complain "$what: lines over 80 columns"
for section in mains through run variants words chart measured; do
  run 0 parts $section
  quiet_err
  out_has "$section: "
  awk 'length > 80' "$work/said/out" | grep -q . && complain "$what: lines over 80 columns"
done

run 0 new empty mine.yaml
quiet_err
out <<'END'
mine.yaml is written. Answer its questions with your own readings, then
  presolder check mine.yaml
shows what is still assumed, and
  presolder switch-on mine.yaml
runs it.
END
cmp -s mine.yaml empty.yaml || complain "mine.yaml is not the form"

echo "my work" >mine.yaml
run 5 new empty mine.yaml
out </dev/null
err <<'END'
error: mine.yaml exists already and is left as it is
  hint: name another file: `presolder new KIND FILE`
END
[ "$(cat mine.yaml)" = "my work" ] || complain "mine.yaml was written over"

run 5 new empty no-folder/mine.yaml
out </dev/null
err <<'END'
error: no-folder/mine.yaml: No such file or directory
  hint: name another file: `presolder new KIND FILE`
END

run 0 new empty third.yaml --quiet
silent

run 2 new feild-coil
out </dev/null
err <<'END'
error: no kind of scenario is called `feild-coil`
  hint: did you mean `field-coil`?
END
missing feild-coil.yaml
done_
