# SPDX-License-Identifier: GPL-3.0-or-later
# Files that are no scenario, and scenarios with mistakes in them.
. "$(dirname "$0")/expect.sh"
cp "$here/small.yaml" .

run 0 check small.yaml --quiet
silent

run 3 check none.yaml
out </dev/null
err <<'END'
none.yaml: error: there is no such file
END

run 3 switch-on none.yaml
out </dev/null
err <<'END'
none.yaml: error: there is no such file
END
missing presolder-out

: >empty.yaml
run 3 check empty.yaml
out </dev/null
err <<'END'
empty.yaml: error: the file is empty
  hint: `presolder new KIND` writes a commented scenario to fill in
END

printf 'PNG\000\001\002' >picture.yaml
run 3 check picture.yaml
out </dev/null
err <<'END'
picture.yaml: error: this is not a text file
  hint: save it as plain text in UTF-8
END

# Refused by its size before it is opened: a sparse file costs no time.
dd if=/dev/null of=huge.yaml bs=1 seek=5000000000 2>/dev/null
run 3 check huge.yaml
out </dev/null
err <<'END'
huge.yaml: error: the file has 5000000000 bytes; at most 4194304 are read
  hint: a scenario is a page or two of text
END

mkdir folder.yaml
run 3 check folder.yaml
out </dev/null
err <<'END'
folder.yaml: error: this is a folder
  hint: name the file inside it
END

sed 's/value: 40 uF/value: 40 V/' small.yaml >unit.yaml
run 3 check unit.yaml
out </dev/null
err <<'END'
unit.yaml:26:12: error: `40 V` is in volts where farads belong
      value: 40 V
             ^
  hint: write it as in `8 uF`
END

sed 's/value: 40 uF/value: 40 MF/' small.yaml >old-unit.yaml
run 3 check old-unit.yaml
out </dev/null
err <<'END'
old-unit.yaml:26:12: error: `40 MF` can be read in two ways
      value: 40 MF
             ^
  hint: old drawings mean microfarad: write 40 uF
END

sed 's/threshold: 0.7 V/type: 1N4070/; /slope:/d' small.yaml >type.yaml
run 3 check type.yaml
out </dev/null
err <<'END'
type.yaml:19:11: error: there is no `1N4070` in the catalogue
      type: 1N4070
            ^
  hint: did you mean `1N4007`?
END

# Two mistakes are told at once; the run does not begin.
sed 's/is: resistor/is: resister/; s/rated: 250 V/ratd: 250 V/' small.yaml >two.yaml
run 3 switch-on two.yaml
out </dev/null
err <<'END'
two.yaml:14:9: error: there is no kind of part called `resister`
      is: resister
          ^
  hint: did you mean `resistor`?
two.yaml:27:5: error: a capacitor has no key `ratd`
      ratd: 250 V
      ^
  hint: did you mean `rated`?
two.yaml:32:9: error: there is no kind of part called `resister`
      is: resister
          ^
  hint: did you mean `resistor`?
END
missing presolder-out

run 3 switch-on small.yaml --variant "to small a rating"
out </dev/null
err <<'END'
small.yaml: error: there is no variant `to small a rating`
  hint: did you mean `too small a rating`?
END

run 2 parts 5Y3-GTX
err <<'END'
error: the catalogue has no model and no kind `5Y3-GTX`
  hint: did you mean `5Y3-GT`?
END

# The mistake of a variant is found by check, and does not hinder the scenario itself.
printf '  broken:\n    C1:\n      value: 1 H\n' >>small.yaml
run 3 check small.yaml
out </dev/null
err_has "small.yaml:"
run 0 switch-on small.yaml --quiet --no-plots
run 3 switch-on small.yaml --quiet --no-plots --variant broken
done_
