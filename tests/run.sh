#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# All checks, from a fresh Debian 12 on: layout; gcc with warnings as errors; clang without
# optimization, whose digits must be gcc's; sanitizers; and the whole of ctest last. Builds in
# build/; safe to run again.
set -u
cd "$(dirname "$0")/.." || exit 1
. scenarios/packages.sh
jobs=$(nproc)
failed=

step() { printf '\n=== %s\n' "$1"; }

# build NAME OPTIONS...: configures and builds $target (all) in build/NAME, and shows only what matters.
build() {
  name=$1
  shift
  mkdir -p build
  if cmake -S . -B "build/$name" "$@" >"build/$name.log" 2>&1 &&
    cmake --build "build/$name" -j "$jobs" --target "${target:-all}" >>"build/$name.log" 2>&1; then
    return 0
  fi
  grep -E -A 4 'error|warning|Error' "build/$name.log" | head -n 60
  echo "FAILED: build $name, see build/$name.log"
  failed="$failed build-$name"
  return 1
}

# digits SCENARIO LENGTH: both programs must write the same figures and the same trace.
digits() {
  for program in gcc clang; do
    "build/$program/presolder" switch-on "scenarios/$1.yaml" --for "$2" --quiet --no-plots \
      --out "build/digits/$program/$1" </dev/null || failed="$failed run-$1"
  done
  for file in figures.csv trace.csv; do
    if cmp "build/digits/gcc/$1/$file" "build/digits/clang/$1/$file"; then
      echo "$1 ($2): same $file, $(cksum <"build/digits/gcc/$1/$file")"
    else
      failed="$failed digits-$1"
    fi
  done
}

step "Packages"
install_packages cmake make gcc libc6-dev pkg-config libgsl-dev libyaml-dev gnuplot-nox \
  libcmocka-dev libsundials-dev clang clang-format valgrind chromium nodejs npm || exit 1

# What the tests of HTML pages need lies in build/browser, outside of the tree.
step "Packages of the browser tests"
mkdir -p build/browser
cmp -s tests/browser/package-lock.json build/browser/installed.json || {
  cp tests/browser/package.json tests/browser/package-lock.json build/browser/ &&
    (cd build/browser && npm ci --no-audit --no-fund </dev/null) &&
    cp tests/browser/package-lock.json build/browser/installed.json
} || failed="$failed browser-packages"

# Apart from the packages some three minutes; the tests of the page are skipped where there is none.
step "The browser page"
if command -v emcc >/dev/null || install_packages emscripten; then
  if sh src/page/build.sh >build/page.log 2>&1; then
    tail -n 1 build/page.log
  else
    tail -n 20 build/page.log
    failed="$failed page"
  fi
else
  echo "SKIPPED: emscripten cannot be installed here, so the page is neither built nor tested"
  rm -f build/page/presolder.html
fi

# Every version of clang-format lays out a little differently; the tree is laid out by 14.
step "Layout"
case $(clang-format --version) in
*"version 14."*)
  find src tests -name '*.[ch]' -exec clang-format --dry-run -Werror {} + ||
    failed="$failed layout"
  ;;
*) echo "not checked: this is not clang-format 14" ;;
esac

step "gcc, warnings are errors"
build gcc -DCMAKE_C_COMPILER=gcc -DCMAKE_BUILD_TYPE=RelWithDebInfo -DPRESOLDER_STRICT=ON || exit 1

step "clang -O0, warnings are errors: the same digits"
if build clang -DCMAKE_C_COMPILER=clang -DCMAKE_BUILD_TYPE=Debug -DCMAKE_C_FLAGS_DEBUG="-O0 -g" \
  -DPRESOLDER_STRICT=ON -DPRESOLDER_TESTS=OFF; then
  rm -rf build/digits
  for scenario in scenarios/*.yaml; do digits "$(basename "$scenario" .yaml)" 1s; done
  digits field-coil 12s
fi

step "Address and undefined-behaviour sanitizers: units and command line"
if build sanitize -DCMAKE_C_COMPILER=gcc -DCMAKE_BUILD_TYPE=RelWithDebInfo \
  -DPRESOLDER_SANITIZE=ON; then
  (cd build/sanitize && ctest -j "$jobs" -L 'unit|cli' -E cli_install --output-on-failure \
    --no-tests=error </dev/null) || failed="$failed sanitizers"
fi

step "libFuzzer: 15 s each of documents, quantities, scenarios and runs"
target=fuzzers
if build fuzz -DCMAKE_C_COMPILER=clang -DCMAKE_BUILD_TYPE=RelWithDebInfo -DPRESOLDER_FUZZ=ON \
  -DPRESOLDER_SANITIZE=ON; then
  (cd build/fuzz && ctest -j "$jobs" -L fuzz --output-on-failure --no-tests=error </dev/null) ||
    failed="$failed fuzz"
fi

target=all
step "valgrind over one run"
valgrind -q --error-exitcode=9 --leak-check=full build/gcc/presolder switch-on tests/cli/small.yaml \
  --for 0.05s --quiet --no-plots --out build/valgrind </dev/null || failed="$failed valgrind"

step "All tests"
if [ -n "$failed" ]; then echo "FAILED so far:$failed"; fi
(cd build/gcc && ctest -j "$jobs" --output-on-failure --no-tests=error </dev/null) &&
  [ -z "$failed" ]
