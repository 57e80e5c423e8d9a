// SPDX-License-Identifier: GPL-3.0-or-later
// The main path through presolder.html in Firefox: from the first screen to causes and sheets, from
// a file. Skipped, and says so, where there is no Firefox or no page. usage: test_firefox.js
// PRESOLDER SOURCES FOLDER
'use strict';

const assert = require('assert');
const fs = require('fs');
const path = require('path');
const browser = require('./browser.js');
const reader = require('./page_reader.js');

const folder = path.resolve(process.argv[4] || '.');
const address = process.env.PRESOLDER_PAGE;
const firefox = process.env.PRESOLDER_FIREFOX;
for (const [what, file] of [
  ['Firefox', firefox],
  ['the page (sh src/page/build.sh makes it)', address],
]) {
  if (file && fs.existsSync(file)) continue;
  console.log(`SKIPPED: ${what} is not here${file ? `: ${file}` : ''}`);
  process.exit(77);
}

// A page that is not in front is slowed down. The job of the test before is forgotten.
async function begin(context) {
  const at = await reader.begin(context, address, { plain: true });
  await at.page.bringToFront();
  await at.page.evaluate(() => localStorage.clear());
  await at.page.reload();
  return at;
}

const tests = {
  async 'from the first screen to the answer; a change; nothing is lost on reload'(context) {
    const at = await begin(context);
    await at.press('bench-first');
    await at.press('transformer-yes');
    await at.take('field-coil');
    await at.go('answer');
    await at.there('dl.figures');
    assert.match(await at.text('dl.figures'), /first filter\s*3[34]\d\sV[^]*B\+\s*22\d\sV/);
    await at.until(() => /450 V working/.test(document.querySelector('#sheet').innerText.replace(/\u00a0/g, ' ')));
    await at.there('figure img[alt*="C1 8 uF"]');
    await at.go('change');
    await at.press('C1-value-more');
    const began = Date.now();
    await at.there('[aria-label^="Settled and warm"] td.figure');
    const settled = Date.now() - began;
    await at.until(() => !/not yet known/.test(document.querySelector('#sheet').innerText));
    console.log(`        settled after ${settled} ms, turn-on after ${Date.now() - began} ms`);
    await at.go('see/turn-on');
    await at.until(() => document.querySelectorAll('svg.chart').length === 2);
    await at.page.reload();
    await at.until(() => /Six-tube/.test(document.querySelector('#bar').innerText));
    assert.strictEqual(await at.page.evaluate(() => store.get().changes.length), 1);
    await at.page.screenshot({ path: path.join(folder, 'firefox.png') });
    at.clean();
  },

  async 'readings in, causes out; a sheet; a long run is stopped at once'(context) {
    const at = await begin(context);
    await at.take('ac-dc');
    await at.until(() => /treat it as live/.test(document.getElementById('danger').innerText));
    await at.go('sheets/hot-chassis');
    await at.there('.report table');
    assert.match(await at.text(), /LIVE[^]*Cautions/);
    await at.take('field-coil');
    await at.go('wrong');
    await reader.addReading(at, 'DC', 'first filter', '329');
    await reader.addReading(at, 'AC', 'first filter', '14.9 V');
    await reader.addReading(at, 'DC', 'B+', '194');
    await reader.addReading(at, 'ohm', 'B+', '7.1k');
    await at.press('diagnose');
    await at.there('#most-likely');
    assert.match(await at.text('#most-likely'), /C2: leaky/);
    await at.go('sheets/bench-sheet');
    await at.there('#stop');
    await reader.pause(1500);
    const stopped = Date.now();
    await at.press('stop');
    await at.until(() => !document.querySelector('#stop'));
    console.log(`        stopped after ${Date.now() - stopped} ms`);
    await at.says('INTERRUPTED');
    at.clean();
  },
};

fs.mkdirSync(folder, { recursive: true });
browser.run(tests, 'firefox');
