#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# Makes FOLDER/library.js: the YAML reader (npm package yaml, ISC licence) as one plain script that
# gives the name YAML. usage: library.sh FOLDER
set -eu
here=$(cd "$(dirname "$0")" && pwd)
mkdir -p "$1"
folder=$(cd "$1" && pwd)
cp "$here/package.json" "$here/package-lock.json" "$folder"
cd "$folder"
[ -d node_modules/yaml ] || npm ci --no-audit --no-fund --silent
echo "export { parseDocument, isMap, isSeq, isScalar, LineCounter, Document } from 'yaml';" |
    node_modules/.bin/esbuild --bundle --format=iife --global-name=YAML --minify \
        --platform=browser --log-level=warning --outfile=library.part
{
    printf '/* yaml 2.9.1, https://www.npmjs.com/package/yaml\n'
    cat node_modules/yaml/LICENSE
    printf '*/\n'
    cat library.part
} >library.js
rm library.part
