# SPDX-License-Identifier: GPL-3.0-or-later
# `exercise`: sheets, key and demonstration; that nothing on a pupil's sheet gives the fault away; recipes;
# mistakes.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .
files='pupils.html key.html demonstration.html'

run 0 exercise small.yaml --pupils 3 --out one
quiet_err
out <"$here/exercise.txt"
for file in $files; do exists "one/$file"; done

# The same seed gives the same bytes, whatever the threads, and the same first sheets of a larger class.
run 0 exercise small.yaml --pupils 3 --jobs 1 --out two --quiet
silent
for file in $files; do cmp -s "one/$file" "two/$file" || complain "$what: $file differs"; done
run 0 exercise small.yaml --pupils 5 --out five --quiet
grep -F "Reads:" five/pupils.html | head -"$(grep -cF "Reads:" one/pupils.html)" >first
grep -F "Reads:" one/pupils.html | cmp -s first - || complain "$what: other first sheets"

# A pupil's sheet depends on the fault in nothing but what the owner says and what the cards read:
# without these and its number every sheet is every other, of every seed and level.
bare() {
  sed -e '/>The owner says: /d' -e '/>Reads: /d' -e 's/series [0-9A-F]*/series/' -e 's/[Ss]heet [0-9]*/sheet/g' \
    -e '/^<section/d' -e '/class="break"/d' -e 's/id="p[0-9]*"//g' -e 's/labelledby="p[0-9]*"//g' "$1" |
    awk '/<h2/ {n++} {print > ("'"$2"'" n)}'
}
run 0 exercise small.yaml --pupils 2 --seed 9 --level 2 --out three --quiet
bare one/pupils.html a
bare three/pupils.html b
for n in 2 3; do
  cmp -s a1 a$n || { tail -1 a$n | grep -q '</html>' && sed '/^<\/main>/,$d' a$n | cmp -s a1 -; } ||
    { complain "$what: sheet $n of one set is not like the first" && diff a1 a$n; }
done
cmp -s a1 b1 || { complain "$what: sheets of two seeds differ" && diff a1 b1; }
# No word of what is wrong, in text, titles or descriptions; the seed is told to the trainer only.
for word in shorted leaky dried reversed 'breaks down' drifted burnt gas 'one plate' condition 'seed'; do
  sed '/<style>/,/<\/style>/d' three/pupils.html | grep -qi -e "$word" && complain "$what: pupils.html says $word"
done
grep -q "C1: shorted" three/key.html || complain "$what: the key lacks the fault"
grep -q -- "--seed 9" three/key.html || complain "$what: the key lacks the seed"

# Black and white unless colour is wanted.
grep -q '<html lang="en" class="bw ' one/key.html || complain "$what: in colour"
run 0 exercise small.yaml --pupils 1 --colour --out colour --quiet
grep -q '<html lang="en" class="bw ' colour/key.html && complain "$what: not in colour"

# A fault by name, with and without its part.
run 0 exercise small.yaml --fault "R1 open" --pupils 2 --out named
out_has "R1: open"
run 3 exercise small.yaml --fault "R1 opn"
err_has "no part of this set can have the fault \`R1 opn\`"
err_has "did you mean \`R1 open\`?"
run 3 exercise small.yaml --fault "C1 shorts when hot" --out never
err_has "makes an exercise of level 1 that its readings can solve"
missing never/pupils.html

# Recipes: what the command line says goes first.
printf 'exercise: {scenario: small.yaml, fault: R1 open, seed: 4, pupils: 2}\n' >evening.yaml
run 0 exercise evening.yaml
out_has "2 sheets of level 1, seed 4"
exists presolder-out/evening/pupils.html
run 0 exercise evening.yaml --seed 5 --pupils 1 --out other
out_has "1 sheet of level 1, seed 5"
printf 'exercise: {scenario: small.yaml, sed: 4}\n' >wrong.yaml
run 3 exercise wrong.yaml
err_has "wrong.yaml:1:34: error: an exercise has no key \`sed\`"
err_has "did you mean \`seed\`?"
printf 'exercise: {scenario: absent.yaml}\n' >wrong.yaml
run 3 exercise wrong.yaml
err_has "absent.yaml"

# A shipped one; the others are drawn in test_exercise.
run 0 exercise "$source/scenarios/exercises/kitchen-radio.yaml" --pupils 1 --out kitchen
quiet_err
for file in $files; do exists "kitchen/$file"; done

run 2 exercise small.yaml --pupils 0
err_has "--pupils takes a whole number from 1 to 9999, not \`0\`"
run 2 exercise small.yaml --pupils 41
err_has "at most 40 sheets"
run 2 exercise small.yaml --level 4
err_has "there is no level 4"
run 2 exercise
run 3 exercise missing.yaml
sed 's/    value: 40 uF/    value: 40 uF\n    condition: open/' small.yaml >sick.yaml
run 3 exercise sick.yaml
err_has "C1 is \`open\` already"
err_has "an exercise begins with a sound set"
mkdir locked
chmod a-w locked
[ "$(id -u)" -eq 0 ] || { run 5 exercise small.yaml --out locked/in && missing locked/in; }
: >file
run 5 exercise small.yaml --out file/in

# Without gnuplot the pages are there, and say how to get the pictures.
mkdir bin
PATH=$work/box/bin "$program" exercise small.yaml --pupils 1 --out bare >"$work/said/out" 2>"$work/said/err"
exists bare/key.html bare/plots/sheet-01.gp
grep -q "gnuplot sheet-01.gp" bare/key.html || complain "no word of the missing picture"

# An end from outside leaves nothing behind.
interrupted TERM 20000 exercise "$source/scenarios/field-coil.yaml" --out stopped
missing stopped
done_
