#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Makes FOLDER/library.js, one plain script: the YAML reader (npm package yaml, ISC licence) by the
# name YAML, and what unpacks gzip and packs zip (npm package fflate, MIT licence) by the name fflate.
# usage: library.sh FOLDER
set -eu
here=$(cd "$(dirname "$0")" && pwd)
mkdir -p "$1"
folder=$(cd "$1" && pwd)
cp "$here/package.json" "$here/package-lock.json" "$folder"
cd "$folder"
[ -d node_modules/fflate ] || npm ci --no-audit --no-fund --loglevel=error >&2

# bundle NAME GLOBAL WHAT: WHAT of the package NAME, as a script that gives the name GLOBAL.
bundle() {
    printf '/* %s, https://www.npmjs.com/package/%s\n' \
        "$(sed -n '/^  "name"/{s/.*: "//;s/".*//;p}; /^  "version"/{s/.*: "//;s/".*//;p}' \
            "node_modules/$1/package.json" | tr '\n' ' ')" "$1"
    cat "node_modules/$1/LICENSE"
    printf '*/\n'
    echo "export { $3 } from '$1';" |
        node_modules/.bin/esbuild --bundle --format=iife --global-name="$2" --minify \
            --platform=browser --log-level=warning
}
{
    bundle yaml YAML 'parseDocument, isMap, isSeq, isScalar, LineCounter, Document'
    bundle fflate fflate 'gunzipSync, strToU8, zipSync'
} >library.part
mv library.part library.js
