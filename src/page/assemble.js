// SPDX-License-Identifier: GPL-3.0-or-later
// node assemble.js PAGE.html PROGRAM.js PROGRAM.wasm LIBRARY.js SOURCE ROOT OUT.html: one file of all.
// In the page, <script src> and <link rel="stylesheet"> become their text; the element `engine-data`
// gets the program, its worker, the models, scenarios and templates of ROOT, and the source with its
// places, which source.sh has laid into the folder SOURCE; SCRIPTS and STYLES in the policy become the
// digests of what stands in the page, so that nothing else is run.
'use strict';

const fs = require('fs');
const path = require('path');
const crypto = require('crypto');
const zlib = require('zlib');

const [pageFile, programJs, programWasm, library, source, root, outFile] = process.argv.slice(2);
const here = path.dirname(pageFile);
const read = (name) => fs.readFileSync(name === path.basename(library) ? library
  : path.join(here, name), 'utf8');

const data = {};
for (const folder of ['models', 'plots', 'scenarios', 'scenarios/new', 'scenarios/readings']) {
  for (const name of fs.readdirSync(path.join(root, folder)).sort()) {
    if (!/\.(yaml|gp)$/.test(name)) continue;
    data[`/presolder/${folder}/${name}`] = fs.readFileSync(path.join(root, folder, name), 'utf8');
  }
}
const engine = {
  worker: `${fs.readFileSync(programJs, 'utf8')}\n${read('worker.js')}`,
  data,
  wasm: zlib.gzipSync(fs.readFileSync(programWasm), { level: 9 }).toString('base64'),
  source: fs.readFileSync(path.join(source, 'source.tar.xz')).toString('base64'),
  places: JSON.parse(fs.readFileSync(path.join(source, 'places.json'), 'utf8')),
};

const digests = { script: [], style: [] };
function inline(kind, name) {
  const text = `\n${read(name)}`;
  if (/<\/(script|style)|<!--/i.test(text)) throw new Error(`${name} has markup that would end it`);
  const digest = crypto.createHash('sha256').update(text).digest('base64');
  digests[kind].push(`'sha256-${digest}'`);
  return `<${kind}>${text}</${kind}>`;
}

let page = fs.readFileSync(pageFile, 'utf8');
const replace = (what, by) => {
  if (!page.match(what)) throw new Error(`the page lacks ${what}`);
  page = page.replace(what, by);
};
replace(/<link rel="stylesheet" href="([^"]+)">/g, (all, name) => inline('style', name));
replace(/<script src="([^"]+)"><\/script>/g, (all, name) => inline('script', name));
replace('SCRIPTS', () => digests.script.join(' '));
replace('STYLES', () => digests.style.join(' '));
replace('<script type="application/json" id="engine-data">',
  (all) => all + JSON.stringify(engine).replace(/</g, '\\u003c'));
fs.writeFileSync(outFile, page);

const most = 2.5e6;
console.log(`${outFile}: ${(page.length / 1e6).toFixed(2)} MB`);
if (page.length > most) throw new Error(`the page has more than ${most / 1e6} MB`);
