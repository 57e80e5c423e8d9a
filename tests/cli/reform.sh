# SPDX-License-Identifier: GPL-3.0-or-later
# `reform`: by values and of a scenario's part, its files, and what is refused.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .
sed 's/make: film/make: dry/' small.yaml >old.yaml

run 0 reform --value 8mfd --rated 450V --out one --no-plots
quiet_err
out_has "Re-forming the capacitor: 8 uF, 450 V, dry, on 450 V."
out_has "the meter has come down to 620 uA"
out_has "(All: --cautions.)"
[ "$(wc -l <one/reform.csv)" -eq 49 ] || complain "$what: not 6 resistors at 8 times"

run 0 reform --value 8mfd --rated 450V --out one --no-plots --cautions
out_has "Rules: Local codes and licensed practice go first"

run 0 reform old.yaml --part C1 --at 150V --out two --quiet
exists two/reform.csv two/plots/reform.gp
[ ! -s "$work/said/out" ] || complain "$what: it said something"
if command -v gnuplot >/dev/null; then exists two/plots/reform.svg; fi

run 2 reform
err <<'END'
error: a part without a scenario needs --value and --rated
  hint: presolder reform --value 20uF --rated 450V --at 350V
END
run 2 reform --value 20uF --rated 450V --at 500V
err_has "--at may not be above the rated voltage"
run 2 reform --value 20V --rated 450V
err_has "error: --value: "
run 2 reform --value 0uF --rated 450V
err_has "--value: it must be above zero"
run 2 reform old.yaml
err_has "which capacitor of the scenario?"
run 2 reform old.yaml --part R1
err_has "there is no capacitor \`R1\`"
run 2 reform small.yaml --part C1
err_has "C1 is no electrolytic: there is nothing to re-form"
run 2 reform old.yaml --part C1 --value 20uF
err_has "a scenario's part has its own value and rating"
run 3 reform nowhere.yaml --part C1
missing presolder-out
done_
