// SPDX-License-Identifier: GPL-3.0-or-later
// Runs the worker of presolder.html without a browser, for what needs none.
'use strict';

const fs = require('fs');
const zlib = require('zlib');

// The engine's data as they stand in the page: { worker, wasm, data }.
function read(file) {
  const found = /<script type="application\/json" id="engine-data">([^]*?)<\/script>/
    .exec(fs.readFileSync(file, 'utf8'));
  if (!found) throw new Error(`${file} holds no engine`);
  return JSON.parse(found[1]);
}

// Gives run({ args, files, out }, { look, stopAt }): the result as engine.js gives it. `look`: [ms]
// between looks at messages, -1: at every chance; stopAt: the run is stopped at that share done.
async function load(file) {
  const own = read(file);
  const program = await WebAssembly.compile(zlib.gunzipSync(Buffer.from(own.wasm, 'base64')));
  const workers = new Map();
  let runs = 0;

  function worker(look) {
    if (workers.has(look)) return workers.get(look);
    const text = own.worker.replace(/const LOOK = 50;/, `const LOOK = ${look};`);
    if (look !== 50 && text === own.worker) throw new Error('the worker has no LOOK');
    const made = { told: null };
    const begin = new Function('postMessage', 'self', `let onmessage;${text}\nreturn onmessage;`);
    made.tell = begin((message) => made.told(message), { location: { href: '' } });
    made.tell({ data: { program, data: own.data } });
    workers.set(look, made);
    return made;
  }

  return function run({ args, files = {}, out = 'out' }, { look = 50, stopAt = 2 } = {}) {
    const w = worker(look);
    const id = ++runs;
    return new Promise((good, bad) => {
      w.told = (message) => {
        if (message.failed) bad(new Error(message.failed));
        else if (message.result) good(message.result);
        else if (message.progress >= stopAt) w.tell({ data: { stop: id } });
      };
      w.tell({ data: { id, args, files, out } });
    });
  };
}

module.exports = { load };
