# SPDX-License-Identifier: GPL-3.0-or-later
# Fifty sections, all of whose times to bleed down come from one march: 60 uF through 5 kohm, once
# the charge has spread (76 V everywhere), are below 30 V in 0.3 s times ln(76/30) = 0.28 s.
. "$(dirname "$0")/expect.sh"
run 0 switch-on "$source/tests/cases/ladder.yaml" --for 4ms --no-plots --quiet --out ladder
[ "$(grep -c '^base,C[0-9]*,bleed-down-time,0\.2[678][0-9]*,s,' ladder/figures.csv)" -eq 51 ] ||
  complain "not every capacitor is empty after 0.26 to 0.29 s"
done_
