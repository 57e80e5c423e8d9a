# SPDX-License-Identifier: GPL-3.0-or-later
# Installed, with its source gone, the program finds its catalogue, forms and templates.
. "$(dirname "$0")/expect.sh"
copy=$work/source
prefix=$work/installed
mkdir "$copy"
for part in CMakeLists.txt src models scenarios plots; do cp -R "$source/$part" "$copy"; done
cp "$source/README.md" "$copy" 2>/dev/null || : >"$copy/README.md"
{
  "$cmake" -S "$copy" -B "$work/build" -DCMAKE_INSTALL_PREFIX="$prefix" -DPRESOLDER_TESTS=OFF \
    -DCMAKE_BUILD_TYPE=Debug && "$cmake" --build "$work/build" -j 2 &&
    "$cmake" --install "$work/build"
} >"$work/said/build" 2>&1 || { complain "cannot install:" && tail -n 20 "$work/said/build"; }
rm -rf "$copy" "$work/build"

program=$prefix/bin/presolder
exists "$prefix/share/presolder/models/rectifiers.yaml" "$prefix/share/doc/presolder/README.md"
run 0 parts 5Y3-GT
quiet_err
out_has "drop: 50 V at 125 mA"
run 0 new empty
run 0 switch-on empty.yaml --quiet --for 50ms
quiet_err
exists presolder-out/empty/figures.csv presolder-out/empty/plots/turn-on.gp

# Taken away, it says what is missing.
mv "$prefix/share/presolder" "$prefix/elsewhere"
run 3 parts
out </dev/null
err <<'END'
error: the catalogue of parts was not found
  hint: set PRESOLDER_DATA to the folder that holds `models`, or install again
END
PRESOLDER_DATA=$prefix/elsewhere
export PRESOLDER_DATA
run 0 parts 5Y3-GT
quiet_err
done_
