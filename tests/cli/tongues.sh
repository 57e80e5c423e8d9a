# SPDX-License-Identifier: GPL-3.0-or-later
# The words of the US and of the UK: each sentence, and what the commands say of a set whose names are terms
# of the US. A sentence that differs in the UK stands in both wordings: no term of the US in that of the UK, none of the
# UK in that of the US, and none of the US in what is said in either. That both take the same conversions
# is the compiler's to check. Not looked at in either: what is said without a scenario, and so in the
# words of the US alone.
. "$(dirname "$0")/expect.sh"
us='\b([Tt]ubes?|[Pp]lates?|[Ss]ockets?|[Oo]utlets?|[Cc]ords?|[Ll]ines?|[Gg]round-fault|[Ff]ilter (choke|capacitors?)'
us="$us|[Ff]irst (filter|capacitor|ripple)|[Ss]econd filter|[Pp]ower transformer|[Ff]ield-coil)\\b|\\bB[+-]"
uk='\b([Vv]alves?|[Vv]alveholders?|[Aa]nodes?|HT|[Ss]moothing|[Rr]eservoir|[Mm]ains (lead|socket|transformer|voltage|'
uk="${uk}current|power|fuse|capacitor)|[Rr]esidual-current)\\b"

# FILE <tab> us, uk or either <tab> TEXT for each text of the files, its literals joined.
texts() {
  awk 'function put(arm, text) { if (text != "") print file "\t" arm "\t" text }
    function texts_of(all, i, c, depth, arm, text) {
      depth = 0; arm = "either"; text = ""
      for (i = 1; i <= length(all); i++) {
        c = substr(all, i, 1)
        if (substr(all, i, 2) == "/*") {
          i += index(substr(all, i), "*/"); continue }
        if (c == "\"") {
          for (i++; (c = substr(all, i, 1)) != "\""; i++) {
            if (c == "\\") { c = c substr(all, ++i, 1) }
            text = text c }
          continue }
        if (c == " " || c == "\n" || c == "\\") continue
        if (!depth) {
          put("either", text); text = ""
          if (substr(all, i, 6) == "US_UK(" || substr(all, i, 10) == "US_UK_ROW(") {
            i += substr(all, i + 5, 1) == "(" ? 5 : 9; depth = 1; arm = "us" }
          continue }
        if (c == "(") depth++
        if (c == ")") depth--
        if (!depth || (c == "," && depth == 1)) { put(arm, text); text = ""; arm = "uk" } } }
    FNR == 1 && file { texts_of(all); all = "" }
    FNR == 1 { file = FILENAME }
    /^#include/ { next }
    { all = all $0 "\n" }
    END { texts_of(all) }' "$@" | sed 's/\\x1f/ /g'
}

cd "$source/src" || exit 1
texts $(grep -rlE 'US_UK(_ROW)?\(' . | grep -v '/tongue\.h$') >"$work/arms"
[ "$(cut -f2 "$work/arms" | grep -cx us)" -ge 180 ] || complain "few sentences were found: mend this test"
[ "$(cut -f2 "$work/arms" | grep -cx us)" -eq "$(cut -f2 "$work/arms" | grep -cx uk)" ] || complain "not as many in either"
grep -hoE '_uk = "[^"]*"' parts/*.[ch] | grep -E "$us" && complain "a term of the US in a field _uk"

# none ARM TERMS FILE: but in what is typed, between backquotes, where the mains have their socket, and
# where a line is one of the sheet or of a file.
none() {
  awk -F '\t' -v arm="$1" '$2 == arm' "$3" |
    sed -e 's/`[^`]*`//g' -e 's/[Mm]ains socket//g' -e 's/the first line: stop//' >"$work/looked"
  grep -E "$2" "$work/looked" && complain "in the words of $1: terms of the other"
}
none uk "$us" "$work/arms"
none us "$uk" "$work/arms"

texts $(ls output/words/words_*.[ch] | grep -vE '_(help|manual|parts|errors)\.h') >"$work/room"
none either "$us" "$work/room"
none either "$uk" "$work/room"

# What is said: the names stay as typed, and so do the words of the file, such as a `condition`.
cd "$work/box" || exit 1
cp "$here/words.yaml" .
{
  echo 'words: UK'
  sed -e 's/^  D1:/  tube 1:/' -e 's/AC in/Plate 1/' -e 's/\[line,/[live,/' -e 's/B+/HV/' -e 's/B-/minus/' \
    -e 's/Small supply on the line/Socket/' "$here/small.yaml"
} >small.yaml
own='tube 1|Tube 1|Plate [12]|Plate choke|first filter|tube heaters|socket winding|cold socket|Socket|one plate dead'

# british FILE...: no term of the US is left in them.
british() {
  for f; do
    sed -e '/<style>/,/<\/style>/d' -e 's/<[^>]*>/ /g' -e 's/&#39;/'"'"'/g' "$f" |
      sed -E -e 's/`[^`]*`//g' -e "s/$own//g" -e 's/[Mm]ains socket//g' -e 's/the first line: stop//' |
      grep -nE "$us" && complain "$what: words of the US in $f"
  done
}
said() {
  run 0 "$@"
  british "$work/said/out"
}

said check words.yaml
out_has 'sum of the customary currents of its valves'
said switch-on words.yaml --for 0.3s --full --cautions --no-plots --out warm
out_has 'tube 1'
out_has "The rectifier's valveholder is at HT"
said compare words.yaml --for 0.1s --no-plots --out two
said schematic words.yaml --for 0.1s --out warm
said buy-list words.yaml --for 0.1s --out warm
out_has 'mains +10 %, hot'
grep -q '^"line +10 %, hot",' warm/figures.csv || complain "$what: a run has another name than in the US"
said discharge words.yaml --for 0.1s --out warm
said report words.yaml --for 0.1s --out warm
british warm/report.html warm/schematic.svg
for file in warm/plots/*.svg; do [ ! -e "$file" ] || british "$file"; done
said bench-sheet small.yaml --out small
out_has 'At full mains'
said diagnose small.yaml --reading 'HV=140V' --no-plots --out small
said try small.yaml C1.value=8uF,40uF --no-plots --out small
said fuse small.yaml --out small
said hot-chassis small.yaml --out small
said exercise small.yaml --pupils 2 --out class
british class/*.html
grep -q 'when rectifier anodes turn red' class/pupils.html || complain "$what: no anodes"
done_
