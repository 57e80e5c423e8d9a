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

step "Packages"
install_packages cmake make gcc libc6-dev pkg-config libgsl-dev libyaml-dev gnuplot-nox \
  libcmocka-dev libsundials-dev clang libclang-rt-dev clang-format valgrind chromium firefox-esr fonts-liberation \
  nodejs npm mandoc python3 python3-jsonschema python3-yaml dpkg-dev file lintian mmdebstrap || exit 1

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

# Every version of clang-format lays out a little differently; the tree is laid out by 14. Beside the tree
# lie what this leaves (build*) and what the example and the program leave (presolder-out).
step "Layout"
for name in *; do
  case $name in
  README.md | DEVELOPERS.md | CMakeLists.txt | src | models | tests | scenarios | plots | build* | presolder-out) ;;
  *) failed="$failed top-level-$name" && echo "at the top level, but no part of the house: $name" ;;
  esac
done
case $(clang-format --version) in
*"version 14."*)
  find src tests -name '*.[ch]' -exec clang-format --dry-run -Werror {} + ||
    failed="$failed layout"
  ;;
*) echo "not checked: this is not clang-format 14" ;;
esac

step "gcc, warnings are errors"
build gcc -DCMAKE_C_COMPILER=gcc -DCMAKE_BUILD_TYPE=RelWithDebInfo -DPRESOLDER_STRICT=ON \
  -DCMAKE_INSTALL_PREFIX=/usr || exit 1

step "clang -O0, warnings are errors: the same digits from every command"
if build clang -DCMAKE_C_COMPILER=clang -DCMAKE_BUILD_TYPE=Debug -DCMAKE_C_FLAGS_DEBUG="-O0 -g" \
  -DPRESOLDER_STRICT=ON -DPRESOLDER_TESTS=OFF; then
  sh tests/digits.sh build/digits build/gcc/presolder build/clang/presolder || failed="$failed digits"
fi

step "Debian package"
sh tests/package.sh build/gcc build/package || failed="$failed package"

# Some long tests of the command line are left out here: cli_odd_names goes through all commands.
step "Address and undefined-behaviour sanitizers: units and command line"
target=units
if build sanitize -DCMAKE_C_COMPILER=gcc -DCMAKE_BUILD_TYPE=Debug -DCMAKE_C_FLAGS_DEBUG="-O1 -g" \
  -DPRESOLDER_SANITIZE=ON; then
  (cd build/sanitize && ctest -j "$jobs" -L 'unit|cli' -E 'cli_(install|cases|exercise|bench_sheet)' \
    --output-on-failure --no-tests=error </dev/null) || failed="$failed sanitizers"
fi
target=all

step "Thread sanitizer: studies that run side by side"
if build threads -DCMAKE_C_COMPILER=gcc -DCMAKE_BUILD_TYPE=Debug -DCMAKE_C_FLAGS_DEBUG="-O1 -g" \
  -DPRESOLDER_THREADS=ON -DPRESOLDER_TESTS=OFF; then
  sh tests/analyze/threads.sh build/threads/presolder . || failed="$failed threads"
fi

step "libFuzzer: 15 s each of documents, quantities, scenarios, readings and runs"
target=fuzzers
if build fuzz -DCMAKE_C_COMPILER=clang -DCMAKE_BUILD_TYPE=Debug -DCMAKE_C_FLAGS_DEBUG="-O1 -g" \
  -DPRESOLDER_FUZZ=ON -DPRESOLDER_SANITIZE=ON; then
  (cd build/fuzz && ctest -j "$jobs" -L fuzz --output-on-failure --no-tests=error </dev/null) ||
    failed="$failed fuzz"
fi

target=all
step "valgrind over one run"
valgrind -q --error-exitcode=9 --leak-check=full build/gcc/presolder switch-on tests/cli/small.yaml \
  --for 0.05s --quiet --no-plots --out build/valgrind </dev/null || failed="$failed valgrind"

step "All tests"
# One more than there are processors: tests in a browser wait half of their time.
if [ -n "$failed" ]; then echo "FAILED so far:$failed"; fi
(cd build/gcc && ctest -j "$((jobs + 1))" --output-on-failure --no-tests=error </dev/null) &&
  [ -z "$failed" ]
