# SPDX-License-Identifier: GPL-3.0-or-later
# Every command over names that mean something to YAML, the shell, gnuplot, a spreadsheet or printf:
# they come out as they went in, in words and in files, and the pictures are drawn.
. "$(dirname "$0")/expect.sh"
cp "$source/tests/cases/odd-names.yaml" .
set=odd-names.yaml
title="'36 \"odd\" {set} \\n %s \`id\` Größe"
capacitor='C "first"'
second='C\2'
load='Röhre:2 `id` $HOME'
variant="it's {\"as built\"}: 50 % \\ # <o>"

# A command with its files in a folder of its own; quiet on the other side.
written() {
  command=$1
  shift
  run 0 "$command" "$set" "$@" --out "$command"
  quiet_err
  out_has "$title"
}
# file_has FILE TEXT
file_has() { grep -qF -e "$2" "$1" || complain "$what: $1 lacks: $2"; }
# The scripts of a folder draw, with the title as it is.
draws() {
  command -v gnuplot >/dev/null || return
  for script in "$1"/plots/*.gp; do
    name=$(basename "$script" .gp)
    rm -f "$1/plots/$name.svg"
    (cd "$1/plots" && gnuplot -d "$name.gp") >"$work/said/gnuplot" 2>&1 ||
      { complain "$what: $script:" && cat "$work/said/gnuplot"; }
    file_has "$1/plots/$name.svg" '</svg>'
    grep -q "<text>'36 \"odd\" {set} .n %s \`id\` Gr" "$1/plots/$name.svg" ||
      complain "$what: $script: another title"
  done
}

run 0 check "$set"
quiet_err
for name in "$title" "$capacitor" "$second" "$load" "$variant"; do out_has "$name"; done

written switch-on --full
file_has switch-on/figures.csv ",'-2+3," # a spreadsheet would compute it
for name in "B+ 'hot'" '50 % %s [tap]' "D 'n' E" "F's 1" '#1 {lamp}' "T'1.6 V 'A'"; do
  out_has "$name"
  case $name in
  [-=+@]*) file_has switch-on/figures.csv ",'$name," ;;
  *) file_has switch-on/figures.csv ",$name," ;;
  esac
done
file_has switch-on/figures.csv ',"C ""first""",'
file_has switch-on/figures.csv ',C\2,'
file_has switch-on/figures.csv ',Röhre:2 `id` $HOME,'
file_has switch-on/trace.csv ",\"C \"\"first\"\" [V]\","
file_has switch-on/trace.csv ",50 % %s [tap] [V]"
draws switch-on
run 0 switch-on "$set" --variant "$variant" --quiet --no-plots --out variant
silent
file_has variant/figures.csv "\"it's {\"\"as built\"\"}: 50 % \\ # <o>\",C\\2,"

written compare
out_has "$variant, beside base"
draws compare

run 0 report "$set" --variant base --variant "$variant" --include shopping-list,bench-sheet \
  --out report --quiet
silent
file_has report/report.html "&#39;36 &quot;odd&quot; {set} "
file_has report/report.html 'C &quot;first&quot;'
file_has report/report.html 'it&#39;s {&quot;as built&quot;}: 50 % \ # &lt;o&gt;'
grep -qF '<o>' report/report.html && complain "$what: a name became a tag"

written try "$capacitor.value=10uF,20uF"
out_has "$capacitor.value up to 20 uF stays inside the ratings of D 'n' E"
out_has 'per plate its peaks set no limit'
out_has "20 uF fits D 'n' E: nearest to its limit is its running peak"
file_has try/figures.csv '"C ""first"".value=20 uF"'
file_has try/try.csv '"C ""first"".value [F]"'
draws try
run 0 try --quiet --out grid -- "$set" "$load.draws=20 mA at 130 V,30 mA at 130 V" \
  "-2+3.resistance=50ohm,100ohm"
silent
file_has grid/figures.csv "\"$load.draws=20 mA at 130 V, -2+3.resistance=50 ohm\""
draws grid
run 0 try "$set" "#1 {lamp}.note=50 % 'a',%g \\\"" --quiet --out words
silent
draws words
run 2 try "$set" "$capacitor.valeu=1uF" --out try
err_has "$capacitor.valeu=1 uF: error: "
run 2 try "$set" "C \"furst\".value=1uF" --out try
err_has "there is no part \`C \"furst\"\` to change"
err_has "did you mean \`$capacitor\`?"

written find-value --change "$second.value" --so-that "50 % %s [tap] ripple-rms < 1 V"
out_has "$second.value"
out_has "50 % %s [tap]"
written find-value --change "-2+3.resistance=20ohm..2kohm" \
  --so-that "50 % %s [tap] settled-voltage = 130 V"
out_has "-2+3.resistance = "
sed 's/50 % %s \[tap\]/a <b> c/' "$set" >less.yaml
run 0 find-value less.yaml --change "$second.value" --so-that "a <b> c ripple-rms < 1 V" --quiet
silent

written discharge
out_has "$capacitor 20 uF"
file_has discharge/discharge.csv '"C ""first""",modern'
run 0 reform "$set" --part "$capacitor" --at 200V --out reform
quiet_err
out_has "$capacitor"
exists reform/plots/reform.svg

written hot-chassis --point "B+ 'hot'" --point 'AC\in' --point "can't touch" --point '50 % %s [tap]'
for name in "B+ 'hot'" 'AC\in' "can't touch" '50 % %s [tap]'; do
  out_has "From \`$name\` to the earth of the wall"
  file_has hot-chassis/hot-chassis.csv "$name,as drawn,off,tech's fuse,"
done

written fuse
out_has "The fuse \`F's 1\` of the scenario was bridged."
out_has "$load shorted"
file_has fuse/fuse.csv '"C ""first"" shorted"'

written buy-list
out_has "$capacitor: plus to \`B+ 'hot'\`"
file_has buy-list/buy-list.csv '"C ""first""",capacitance'
sed "s/threshold: 0.7 V/type: selenium 100 mA/; /slope: 0.04 ohm/d" "$set" >selenium.yaml
run 0 buy-list selenium.yaml --out selenium
out_has "        'D ''n'' E': {type: 1N4007, cathode: 'D ''n'' E cathode'}"
out_has "          across: ['D ''n'' E cathode', 'B+ ''hot''']"
out_has "        --so-that \"B+ 'hot' settled-voltage = ... V\""

written exercise --pupils 1
file_has exercise/pupils.html "&#39;36 &quot;odd&quot; {set} \\n %s "
file_has exercise/pupils.html "DC voltage at B+ &#39;hot&#39;, at full line voltage"
file_has exercise/key.html "exercise odd-names.yaml --fault"
draws exercise

# Sixty runs of half a minute: without what slows them.
sed '/T.1":/,/rated: 6.3 V/d' "$set" >bench.yaml
set=bench.yaml
written bench-sheet
out_has "  plug: tech's fuse to can't touch"
out_has "  -2+3: B+ 'hot' to 50 % %s [tap] (in place)"
out_has "D 'n' E dead"
file_has bench-sheet/bench-sheet.csv "B+ 'hot' to can't touch"
done_
