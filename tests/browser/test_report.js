// SPDX-License-Identifier: GPL-3.0-or-later
// Reports of shipped scenarios as a browser shows and prints them.
// usage: node test_report.js PROGRAM SOURCE FOLDER
'use strict';

const assert = require('assert');
const fs = require('fs');
const path = require('path');
const { execFileSync } = require('child_process');
const { open, axe, print, overflow, run } = require('./browser');

const [, , program, source, work] = process.argv;
const PHONE = 360; // px
const A4 = [596, 842]; // points
const LETTER = [612, 792];

// Makes a report; gives its path.
function report(name, scenario, ...options) {
  const out = path.join(work, name);
  fs.rmSync(out, { recursive: true, force: true });
  const file = fs.existsSync(scenario) ? scenario : path.join(source, 'scenarios', `${scenario}.yaml`);
  execFileSync(program, ['report', file, '--quiet', '--out', out, ...options],
    { stdio: ['ignore', 'ignore', 'ignore'] });
  return path.join(out, options.includes('owner') ? 'owner.html' : 'report.html');
}

// What must be so of every page, however it is looked at.
async function looksRight(browser, file) {
  for (const options of [{}, { dark: true }, { width: PHONE }, { media: 'print' }]) {
    const { page, messages, requests } = await open(browser, file, options);
    const how = JSON.stringify(options);
    assert.deepStrictEqual(messages, [], `console, ${how}`);
    assert.deepStrictEqual(requests, [], `requests, ${how}`);
    assert.deepStrictEqual(await axe(page), [], `axe, ${how}`);
    if (!options.media) assert.strictEqual(await overflow(page), 0, `sticks out, ${how}`);
    await page.close();
  }
}

// What the page is made of.
async function parts(page) {
  return page.evaluate(() => {
    const all = (selector) => [...document.querySelectorAll(selector)];
    const ids = all('[id]').map((e) => e.id);
    const refers = [...document.documentElement.outerHTML.matchAll(/(?:href="#|url\(#)([^")]+)/g)]
      .map((m) => m[1]);
    const seen = (e) => e.getBoundingClientRect().width > 200 && e.getBoundingClientRect().height > 100;
    return {
      h1: all('h1').length,
      headings: all('h2').map((e) => e.textContent),
      tables: all('table').length,
      untold: all('table').filter((t) => !t.caption || !t.caption.textContent.trim()).length,
      unscoped: all('th:not([scope])').length,
      rows: all('tbody tr').length,
      pictures: all('svg[aria-label]').filter(seen).length,
      schematics: all('svg.ps').filter(seen).length,
      unnamed: all('svg').filter((s) => !s.getAttribute('aria-label') && !s.querySelector('title')).length,
      captions: all('figcaption').length,
      figures: all('figure').length,
      twice: ids.filter((id, i) => ids.indexOf(id) !== i),
      lost: refers.filter((id) => !document.getElementById(id)),
      blanks: all('td.blank').length,
      letters: getComputedStyle(document.body).fontSize,
      least: Math.min(...all('p,li,td,th').map((e) => parseFloat(getComputedStyle(e).fontSize))),
      text: document.body.innerText,
    };
  });
}

function isSound(p) {
  assert.strictEqual(p.h1, 1);
  assert.strictEqual(p.untold, 0, 'a table without a caption');
  assert.strictEqual(p.unscoped, 0, 'a head without a scope');
  assert.strictEqual(p.unnamed, 0, 'a picture without a name');
  assert.strictEqual(p.captions, p.figures);
  assert.deepStrictEqual(p.twice, [], 'ids that are there twice');
  assert.deepStrictEqual(p.lost, [], 'references that lead nowhere');
}

// Pages of both papers; every one of the size that was asked for, some of them lengthwise.
async function pages(page, format, size) {
  const { pages: n, sizes } = await print(page, format);
  for (const [width, height] of sizes) {
    const upright = [Math.min(width, height), Math.max(width, height)];
    assert(Math.abs(upright[0] - size[0]) < 2 && Math.abs(upright[1] - size[1]) < 2,
      `${format}: a page of ${width} x ${height}`);
  }
  return { n, lengthwise: sizes.filter(([width, height]) => width > height).length };
}

// A report with so many pictures of gnuplot's on so many sheets.
async function holds(browser, file, { variants = 1, least, most }) {
  const { page } = await open(browser, file);
  const p = await parts(page);
  const plots = path.join(path.dirname(file), 'plots');
  const drawn = fs.readdirSync(plots).filter((f) => f.endsWith('.svg')).length;
  isSound(p);
  assert(drawn > 0, 'no picture was drawn');
  assert.strictEqual(p.pictures, drawn, 'pictures');
  assert.strictEqual(p.schematics, variants, 'schematics on a wide screen');
  assert.strictEqual(p.letters, '18px');
  assert(p.least >= 18, `letters of ${p.least} px`);
  assert(p.blanks >= 4 * variants, 'no room to write');
  for (const heading of ['Pictures', 'Cautions', 'How this report was made'])
    assert(p.headings.includes(heading), `no section ${heading}`);
  for (const [format, size] of [['A4', A4], ['Letter', LETTER]]) {
    const printed = await pages(page, format, size);
    assert(printed.n >= least && printed.n <= most, `${printed.n} pages on ${format}`);
    assert(printed.lengthwise <= variants, `${printed.lengthwise} pages lengthwise`);
  }
  await page.close();
  const { page: phone } = await open(browser, file, { width: PHONE });
  assert.strictEqual((await parts(phone)).schematics, variants, 'schematics on a telephone');
  await phone.close();
  const { page: paper } = await open(browser, file, { media: 'print' });
  const style = await paper.evaluate(() => ({
    letters: getComputedStyle(document.body).fontSize,
    least: Math.min(...[...document.querySelectorAll('td, th, p, li')]
      .map((e) => parseFloat(getComputedStyle(e).fontSize))),
    whole: ['table', 'figure', 'tr'].every((t) =>
      [...document.querySelectorAll(t)].every((e) => getComputedStyle(e).breakInside === 'avoid')),
  }));
  assert.strictEqual(style.letters, '16px', '12 pt in print');
  assert(style.least >= 16, `letters of ${style.least} px in print`);
  assert(style.whole, 'something may be cut in print');
  await paper.close();
}

// Colours of what is drawn in black and white, as grey as they come.
async function isGrey(browser, file) {
  const { page } = await open(browser, file, { dark: true });
  const colours = await page.evaluate(() => {
    const found = new Set();
    for (const e of document.querySelectorAll('body *')) {
      const style = getComputedStyle(e);
      const keys = ['color', 'backgroundColor', 'borderTopColor'];
      if (e.closest('svg') && e.tagName !== 'g') keys.push('fill', 'stroke'); // of what is drawn
      for (const key of keys) if (style[key] !== 'none') found.add(style[key]);
    }
    return [...found];
  });
  for (const colour of colours) {
    const [r, g, b] = colour.match(/\d+(\.\d+)?/g).map(Number);
    assert(r === g && g === b, `a colour: ${colour}`);
  }
  const { pdf } = await print(page, 'A4');
  assert(!/\/Subtype\s*\/Image/.test(pdf.toString('latin1')), 'a picture is printed as dots');
  await page.close();
}

const scenarios = fs.readdirSync(path.join(source, 'scenarios'))
  .filter((f) => f.endsWith('.yaml')).map((f) => f.slice(0, -5));

const tests = {
  'axe-core finds what is wrong': async (browser) => {
    const file = report('broken', path.join(source, 'tests/cli/small.yaml'));
    const { page } = await open(browser, file);
    await page.addStyleTag({ content: 'p{color:#767676!important}' }).catch(() => {});
    await page.evaluate(() => {
      for (const p of document.querySelectorAll('p')) p.style.color = '#767676';
      document.querySelector('svg').removeAttribute('aria-label');
      document.body.append(document.createElement('img'));
    });
    const found = (await axe(page)).join('\n');
    assert(/color-contrast-enhanced/.test(found), 'a contrast of 4.5 passes');
    assert(/image-alt/.test(found), 'an image without text passes');
  },
  'one set': async (browser) => {
    const file = report('field-coil', 'field-coil');
    await looksRight(browser, file);
    await holds(browser, file, { least: 7, most: 12 });
  },
  'the longest first page': async (browser) => {
    const file = report('amplifier', 'amplifier');
    // answer and margins, schematic, readings, two of words, two more of pictures
    await holds(browser, file, { least: 7, most: 7 });
  },
  'variants beside one another': async (browser) => {
    const file = report('back-bias', 'back-bias', '--for', '5s', '--variant', 'base',
      '--variant', 'wrong negative');
    await looksRight(browser, file);
    await holds(browser, file, { variants: 2, least: 10, most: 20 });
  },
  'black and white, on the line': async (browser) => {
    const file = report('ac-dc', 'ac-dc', '--for', '5s', '--black-and-white');
    await looksRight(browser, file);
    await holds(browser, file, { least: 7, most: 13 });
    await isGrey(browser, file);
  },
  'a vibrator': async (browser) => {
    const file = report('vibrator', 'vibrator', '--for', '2s');
    await looksRight(browser, file);
    await holds(browser, file, { least: 6, most: 13 });
  },
  'every sheet': async (browser) => {
    const file = report('sheets', path.join(source, 'tests/cli/small.yaml'),
      '--include', 'shopping-list,bench-sheet,tolerances');
    await looksRight(browser, file);
    const { page } = await open(browser, file);
    const p = await parts(page);
    isSound(p);
    for (const heading of ['Shopping list', 'Bench sheet', 'Tolerances'])
      assert(p.headings.includes(heading), `no section ${heading}`);
    assert(p.tables >= 12, `${p.tables} tables`);
  },
  'every scenario': async (browser) => {
    for (const scenario of scenarios) {
      const file = report(`short-${scenario}`, scenario, '--for', '1s');
      await looksRight(browser, file);
      await holds(browser, file, { least: 6, most: 12 });
    }
  },
  'for the owner, of every scenario': async (browser) => {
    for (const scenario of scenarios) {
      const file = report(`owner-${scenario}`, scenario, '--for', 'owner', '--for', '0.5s');
      await looksRight(browser, file);
      const { page } = await open(browser, file);
      const p = await parts(page);
      isSound(p);
      assert(p.text.includes('This is no safety certificate'), scenario);
      assert(p.blanks >= 12, `${scenario}: ${p.blanks} blanks`);
      for (const [format, size] of [['A4', A4], ['Letter', LETTER]])
        assert.deepStrictEqual(await pages(page, format, size), { n: 1, lengthwise: 0 },
          `${scenario} on ${format}`);
      await page.close();
    }
  },
};

fs.mkdirSync(work, { recursive: true });
run(tests);
