# SPDX-License-Identifier: GPL-3.0-or-later
# Words and options: help, and mistakes on the command line.
. "$(dirname "$0")/expect.sh"

run 2
out </dev/null
err <<'END'
usage: presolder COMMAND [arguments] [options]
`presolder --help` lists what there is, with an example
END

run 0 --help
quiet_err
out <<'END'
presolder: what a tube radio's power supply will do, before you solder

usage: presolder COMMAND [arguments] [options]

commands:
  new [KIND [FILE]]      write a form to fill in: a scenario with questions
  check SCENARIO         find every mistake, and show every assumed value
  switch-on SCENARIO     simulate the turn-on: summary, figures, pictures
  compare SCENARIO...    several variants or files side by side in one table
  try SCENARIO KEY=LIST  what one or two other values would do: table, curves
  find-value SCENARIO    the value of a part that gives the figure you want
  tolerances SCENARIO    do the figures hold when parts and readings are off?
  diagnose SCENARIO      what is wrong, from what your meter reads
  discharge SCENARIO     what the capacitors hold, and how to discharge them
  reform [SCENARIO]      how to re-form an old electrolytic, and when to stop
  hot-chassis SCENARIO   touch current from a chassis that may be live
  fuse SCENARIO          the smallest fuse that holds, and what it clears
  bench-sheet SCENARIO   what to read at each step of a careful first power-up
  buy-list SCENARIO      what to order: capacitors, resistors, diodes, fuse
  schematic SCENARIO     the supply as a circuit diagram, with its voltages
  report SCENARIO        everything on one page of HTML, to read, print and keep
  exercise SCENARIO      sheets with hidden faults for a class, with a key
  parts [NAME]           the catalogue, or one model or kind with its sources
  schema                 the JSON Schema of a scenario, for an editor

options:
  --help                 this page; `presolder COMMAND --help` says more
  --version              show version, commit and libraries

exit codes:
  0  done
  1  a rating is exceeded (only with --strict)
  2  wrong usage
  3  the scenario or a model is wrong
  4  the solution failed, or a run its audit (unless --force)
  5  cannot write
  6  interrupted

example:
  presolder switch-on scenarios/field-coil.yaml --out out/field-coil
END

sed '/^options:/,$d' "$work/said/out" >"$work/said/all"

run 0 check --help
quiet_err
out <<'END'
presolder check: find every mistake, and show every assumed value

usage: presolder check SCENARIO [options]

Reads the scenario with all its variants, shows all mistakes at once with file,
line and column, and shows what is taken for every value that was not given:
why, between which bounds it may lie, and which reading would replace it. A
guess is a value of weight that nothing in the scenario gives.

options:
  --quiet                say nothing but errors
  --help                 show this

example:
  presolder check scenarios/field-coil.yaml
END

for command in $(awk '/^  [a-z]/ {print $1}' "$work/said/all"); do
  run 0 "$command" --help
  quiet_err
  awk '/^example:/ {exit} length > 80' "$work/said/out" >"$work/said/wide"
  [ -s "$work/said/wide" ] && complain "$command --help: wider than 80" && cat "$work/said/wide"
  out_has "usage: presolder $command"
  out_has "example:"
  cp "$work/said/out" "$work/said/help"
  run 0 -h "$command"
  out <"$work/said/help"
done

run 0 --version
quiet_err
version=$(sed -n 's/^project(presolder VERSION \([0-9.]*\).*/\1/p' "$source/CMakeLists.txt")
out_has "presolder $version"
for line in 'commit \(unknown: built without git\|[0-9a-f]\{12\}\(-dirty\)* of 20[0-9-]\{8\}\)' \
  'GNU Scientific Library [0-9.]*, libyaml [0-9.]*' 'GNU C library [0-9.]*'; do
  grep -qx "$line" "$work/said/out" || complain "$what: lacks $line"
done

run 2 chek scenario.yaml
out </dev/null
err <<'END'
error: unknown command `chek`
  hint: did you mean `check`?
END

run 2 simulate scenario.yaml
err <<'END'
error: unknown command `simulate`
  hint: `presolder --help` lists them all
END

run 2 switch-on small.yaml --varient silicon
err <<'END'
error: unknown option `--varient`
  hint: did you mean `--variant`?
END

run 2 switch-on small.yaml -x
err <<'END'
error: unknown option `-x`
  hint: `presolder switch-on --help` lists them all
END

run 2 check
err <<'END'
error: `check` needs more than that
  hint: usage: presolder check SCENARIO [options]
END

run 2 check a.yaml b.yaml
err <<'END'
error: one word too many: `b.yaml`
  hint: usage: presolder check SCENARIO [options]; put names with blanks in quotes
END

run 2 check a.yaml --strict
err <<'END'
error: `check` has no option `--strict`
  hint: `presolder check --help` lists its options
END

run 2 --strict parts
err <<'END'
error: `parts` has no option `--strict`
  hint: `presolder parts --help` lists its options
END

run 2 switch-on a.yaml --out
err <<'END'
error: --out needs a value: DIR
END

run 2 switch-on a.yaml --strict=yes
err <<'END'
error: --strict takes no value
END

run 2 switch-on a.yaml --format gif
err <<'END'
error: --format does not take `gif`
  hint: it takes svg|png
END

run 2 switch-on a.yaml --for 0s
err <<'END'
error: --for: the run must last longer than nothing
  hint: write for instance `--for 10s`
END

run 2 switch-on a.yaml --for 10
err_has "error: --for: "
err_has "hint: "

run 2 switch-on a.yaml --for "10 V"
err_has "error: --for: "

# A name that begins with a dash.
run 3 check -- --odd.yaml
err_has "error: "
err_has "--odd.yaml"
run 0 parts --help 5Y3-GT
done_
