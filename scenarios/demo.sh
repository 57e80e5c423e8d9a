#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Builds presolder and shows the first switch-on of an invented six-tube set with a field-coil
# speaker: its summary here, figures and pictures in presolder-out/field-coil. Installs what is
# missing on a fresh Debian 12. Safe to run again.
set -eu
cd "$(dirname "$0")/.."
. scenarios/packages.sh

install_packages cmake make gcc libc6-dev pkg-config libgsl-dev libyaml-dev gnuplot-nox
mkdir -p build
echo "Building in build/demo"
{
  cmake -S . -B build/demo -DCMAKE_BUILD_TYPE=RelWithDebInfo -DPRESOLDER_TESTS=OFF &&
    cmake --build build/demo -j "$(nproc)"
} >build/demo.log 2>&1 || {
  tail -n 40 build/demo.log
  exit 1
}

build/demo/presolder switch-on scenarios/field-coil.yaml --out presolder-out/field-coil
echo
echo "All figures: $PWD/presolder-out/field-coil/figures.csv"
echo "All pictures: $PWD/presolder-out/field-coil/plots"
echo "Next: build/demo/presolder check scenarios/field-coil.yaml"
echo "      build/demo/presolder new field-coil my-set.yaml"
