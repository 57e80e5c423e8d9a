# SPDX-License-Identifier: GPL-3.0-or-later
# Needs: python3 -c 'import jsonschema, yaml'
# The JSON Schema takes every scenario that the program takes, and refuses what is misspelt.
. "$(dirname "$0")/expect.sh"

run 0 schema
quiet_err
cp "$work/said/out" scenario.schema.json
cat >validate.py <<'END_PY'
import json, sys, jsonschema, yaml

schema = json.load(open("scenario.schema.json"))
Validator = jsonschema.validators.validator_for(schema)
Validator.check_schema(schema)
validator = Validator(schema)

def faults(text):
    return ["%s: %s" % ("/".join(map(str, e.absolute_path)), e.message[:200])
            for e in validator.iter_errors(yaml.safe_load(text))]

failed = 0
for path in sys.argv[1:]:
    for fault in faults(open(path).read()):
        print("FAILED: %s: %s" % (path, fault))
        failed = 1
good = """
format: 1
mains: {voltage: 117 V, through: {fuse: 1 A slow, lamp: {rated: 60 W 120 V}}, state: on}
parts:
  C1: {is: capacitor, across: [B+, B-], value: 8 uF, make: dry}
  F1: {is: fuse, type: 1 A 3AG, across: [line, B-], rated: 1 A slow}
  tubes: {is: load, across: [B+, B-], draws: 64 mA at 255 V}
variants:
  old: {C1: {condition: leaky}, at 2 s: {C1: {condition: shorted}}}
"""
if faults(good):
    print("FAILED: refused what is right:", faults(good))
    failed = 1
for right, wrong in [
    ("format: 1", "formt: 1"), ("voltage", "volts"), ("is: capacitor", "is: capacitator"),
    ("value: 8", "vale: 8"), ("make: dry", "make: dri"), (", value: 8 uF", ""),
    ("across: [line, B-], ", ""), ("fuse: 1 A", "fus: 1 A"), ("rated: 60", "rate: 60"),
    ("state: on", "state: open"), ("condition: leaky", "conditio: leaky"),
    ("at 2 s: {C1: {condition", "at 2 s: {C1: {conditio"), ("is: load, ", ""),
    ("variants:", "variant:"), ("draws: 64 mA at 255 V", "draws: {drop: 3 V, ovr: R1}"),
]:
    assert good.count(right) >= 1
    if not faults(good.replace(right, wrong, 1)):
        print("FAILED: let through %r for %r" % (wrong, right))
        failed = 1
sys.exit(failed)
END_PY
set --
for file in "$source"/tests/cases/*.yaml; do
  "$program" check "$file" --quiet >"$work/said/out" 2>&1 </dev/null && set -- "$@" "$file"
done
[ $# -gt 10 ] || complain "only $# of the cases are right"
python3 validate.py "$source"/scenarios/*.yaml "$source"/scenarios/new/*.yaml "$here"/*.yaml "$@" ||
  complain "the schema"

run 2 schema --out x
err_has "no option"
done_
