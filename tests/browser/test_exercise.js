// SPDX-License-Identifier: GPL-3.0-or-later
// The pages of an exercise as a browser shows and prints them.
// usage: node test_exercise.js PROGRAM SOURCE FOLDER
'use strict';

const assert = require('assert');
const fs = require('fs');
const path = require('path');
const { execFileSync } = require('child_process');
const { open, axe, print, overflow, run } = require('./browser');

const [, , program, source, work] = process.argv;
const PAGES = ['pupils', 'key', 'demonstration'];
const PUPILS = 2;
const A4 = [596, 842]; // points

// Makes an exercise; gives the path of a page by its name.
function exercise(name, scenario, ...options) {
  const out = path.join(work, name);
  fs.rmSync(out, { recursive: true, force: true });
  execFileSync(program, ['exercise', path.join(source, scenario), '--quiet', '--pupils', `${PUPILS}`,
    '--out', out, ...options], { stdio: ['ignore', 'ignore', 'ignore'] });
  return (page) => path.join(out, `${page}.html`);
}

async function looksRight(browser, file) {
  for (const options of [{}, { dark: true }, { width: 360 }, { media: 'print' }]) {
    const { page, messages, requests } = await open(browser, file, options);
    const how = `${path.basename(file)}, ${JSON.stringify(options)}`;
    assert.deepStrictEqual(messages, [], `console, ${how}`);
    assert.deepStrictEqual(requests, [], `requests, ${how}`);
    assert.deepStrictEqual(await axe(page), [], `axe, ${how}`);
    if (!options.media) assert.strictEqual(await overflow(page), 0, `sticks out, ${how}`);
    await page.close();
  }
}

async function count(page, selector) {
  return (await page.$$(selector)).length;
}

// Grey where red, green and blue are the same: of all colours that are used.
async function colours(page) {
  return page.evaluate(() => {
    const used = new Set();
    for (const e of document.querySelectorAll('body *')) {
      const style = getComputedStyle(e);
      for (const c of [style.color, style.backgroundColor, style.borderTopColor]) used.add(c);
    }
    return [...used].filter((c) => {
      const [r, g, b] = c.match(/[\d.]+/g).map(Number);
      return r !== g || g !== b;
    });
  });
}

// How high a card's blanks and its reading lie: cards that were cut would be higher than a page.
async function prints(browser, file, atMost) {
  const { page } = await open(browser, file);
  const { pages, sizes } = await print(page, 'A4');
  assert.ok(pages >= 1 && pages <= atMost, `${path.basename(file)}: ${pages} pages`);
  for (const size of sizes) {
    const [w, h] = [...size].sort((a, b) => a - b);
    assert.ok(Math.abs(w - A4[0]) < 2 && Math.abs(h - A4[1]) < 2, `a page of ${size}`);
  }
  await page.close();
  return sizes;
}

run({
  async 'a small set in black and white'(browser) {
    const file = exercise('small', 'tests/cli/small.yaml');
    for (const name of PAGES) await looksRight(browser, file(name));
    for (const name of PAGES) {
      const { page } = await open(browser, file(name));
      assert.deepStrictEqual(await colours(page), [], `${name} is coloured`);
      await page.close();
    }
  },
  async 'a table set with its schematic, in colour'(browser) {
    const file = exercise('table-set', 'scenarios/field-coil.yaml', '--colour');
    for (const name of PAGES) await looksRight(browser, file(name));

    const pupils = await open(browser, file('pupils'));
    const schematics = await count(pupils.page, 'svg.ps');
    const sections = await count(pupils.page, 'section');
    const cards = await count(pupils.page, '.card');
    const listed = await pupils.page.evaluate(() =>
      [...document.querySelectorAll('caption')].filter((c) => /may ask for/.test(c.textContent))
        .map((c) => c.parentElement.querySelectorAll('tbody tr').length));
    assert.strictEqual(schematics, PUPILS);
    assert.strictEqual(sections, PUPILS);
    assert.strictEqual(listed.length, PUPILS);
    assert.strictEqual(cards, listed.reduce((a, b) => a + b, 0), 'a card for every reading');
    await pupils.page.close();

    const gnuplot = (process.env.PATH || '').split(':').some((p) => fs.existsSync(path.join(p, 'gnuplot')));
    const key = await open(browser, file('key'));
    if (gnuplot) assert.strictEqual(await count(key.page, 'figure svg[aria-label]'), PUPILS);
    assert.strictEqual(await count(key.page, 'section'), PUPILS + 1);
    await key.page.close();

    // a schematic of its own lengthwise for each, and three cards' pages at most
    const sizes = await prints(browser, file('pupils'), 8 * PUPILS);
    assert.strictEqual(sizes.filter(([w, h]) => w > h).length, PUPILS);
    await prints(browser, file('key'), 1 + 3 * PUPILS);
    await prints(browser, file('demonstration'), 5);
  },
});
