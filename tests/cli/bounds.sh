# SPDX-License-Identifier: GPL-3.0-or-later
# Values that no set can have are refused with their bounds, before anything is computed from them.
. "$(dirname "$0")/expect.sh"
cases=$source/tests/cases

refused() {
  run 3 check "$cases/$1.yaml" --quiet
  err_has "$2"
}
refused lamp-volts '`rated`: 1e9 kV is not between 1 uV and 100 kV'
refused transformer-volts '`rated`: 1e-294 uV is not between 1 uV and 100 kV'
refused mains-hertz '`frequency`: 1e302 MHz is not between 5 Hz and 1 kHz'
refused mains-megahertz '`frequency`: 1 MHz is not between 5 Hz and 1 kHz'
refused choke-henries '`inductance`: 1e-12 uH is not between 1 uH and 10000 H'

# What is made of two values has bounds too, and a list's values have them like others.
with() {
  sed "s|$2|$3|" "$cases/$1.yaml" >changed.yaml
  run 3 check changed.yaml --quiet
  err_has "$4"
}
with lamp-volts '100 W 1e12 V' '1 kW 1 V' '`rated`: 1000 A is not between 1 mA and 100 A'
with lamp-volts '100 W 1e12 V' '100 W 2 kV' '`rated`: 2000 V is not between 0.1 V and 1000 V'
with transformer-volts '1e-300 V' '0.5 V' '`rated`: 0.5 V is not between 1 V and 10 kV'
with mains-megahertz '\[300 V, 300 V\]' '[300 V, 1e9 V]' '1000000 kV is not between 1 uV and 100 kV'
with battery-fuse 'type: 3AG 1 A fast' 'rated: 5000 A fast' '`rated`: 5000 A is not between 1 mA and 1000 A'

# The help of a kind says them.
run 0 parts capacitor
tr -s ' \n' ' ' <"$work/said/out" | grep -q 'volts 1 uV to 100 kV, amperes .*farads 0.001 pF to 10 F, henries' ||
  complain "$what: no bounds"

# Every kind says them, and what stands beside the parts; a key that allows less says that.
for kind in capacitor resistor choke 'field coil' rectifier 'power transformer' lamp fuse thermistor \
  barretter load heater battery switch mains through run; do
  run 0 parts "$kind"
  grep -qxF '  values are read between (apart from 0; a key may allow less):' "$work/said/out" ||
    complain "$what: no bounds"
done
said() {
  run 0 parts "$1"
  tr -s ' \n' ' ' <"$work/said/out" | grep -q "$2" || complain "$what: lacks $2"
}
said mains 'voltage: .*; 1 V to 10 kV'
said fuse 'rated: .*; 1 mA to 1000 A'
said heater 'rated: .*; 0.1 V to 1000 V, 1 mA to 100 A'

# Each end of a range is inside it.
sed 's/1000000 Hz/1 kHz/' "$cases/mains-megahertz.yaml" >most.yaml
run 0 check most.yaml --quiet
sed 's/1000000 Hz/5 Hz/' "$cases/mains-megahertz.yaml" >least.yaml
run 0 check least.yaml --quiet

done_
