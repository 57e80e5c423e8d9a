// SPDX-License-Identifier: GPL-3.0-or-later
// Drives headless Chromium over pages that lie in files. NODE_PATH names the node_modules with
// puppeteer-core and axe-core, PRESOLDER_CHROMIUM the browser.
'use strict';

const fs = require('fs');
const path = require('path');
const { pathToFileURL } = require('url');
const puppeteer = require('puppeteer-core');

// A browser; the caller closes it. Chromium, or `firefox`.
async function launch(name) {
  if (name === 'firefox') {
    return puppeteer.launch({
      browser: 'firefox',
      executablePath: process.env.PRESOLDER_FIREFOX,
      headless: true,
    });
  }
  const root = process.getuid && process.getuid() === 0;
  return puppeteer.launch({
    executablePath: process.env.PRESOLDER_CHROMIUM || '/usr/bin/chromium',
    headless: true,
    args: ['--disable-gpu', '--disable-dev-shm-usage', '--no-first-run', '--disable-extensions',
      ...(root ? ['--no-sandbox'] : [])],
  });
}

// Opens a file (or a URL). Gives { page, messages, requests }: what came on the console or was
// thrown, and every request but that of the page itself; both go on to grow while it is open.
// `options`: width and height of the window in px, dark, media ('print'), script (false: off).
async function open(browser, file, options = {}) {
  const page = await browser.newPage();
  const url = /^[a-z]+:\/\//.test(file) ? file : pathToFileURL(path.resolve(file)).href;
  const messages = [];
  const requests = [];
  page.on('console', (m) => messages.push(`${m.type()}: ${m.text()}`));
  page.on('pageerror', (e) => messages.push(`thrown: ${e.message}`));
  page.on('request', (r) => {
    if (r.url() !== url) requests.push(r.url());
  });
  await page.setViewport({ width: options.width || 1280, height: options.height || 900 });
  if (options.script === false) await page.setJavaScriptEnabled(false);
  // Either takes the other back; Firefox has neither.
  if (options.plain) ;
  else if (options.media) await page.emulateMediaType(options.media);
  else
    await page.emulateMediaFeatures([
      { name: 'prefers-color-scheme', value: options.dark ? 'dark' : 'light' },
    ]);
  await page.goto(url, { waitUntil: 'load' });
  return { page, messages, requests };
}

// What axe-core finds wrong, a line each: WCAG 2.2 A and AA, its best practices, contrast 7:1.
async function axe(page) {
  await page.evaluate(fs.readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8'));
  const found = await page.evaluate(() => globalThis.axe.run(document, {
    resultTypes: ['violations'],
    rules: { 'color-contrast-enhanced': { enabled: true }, 'target-size': { enabled: true } },
  }));
  return found.violations.flatMap((v) =>
    v.nodes.map((n) => `${v.id}: ${n.target.join(' ')}: ${n.failureSummary}`));
}

// Prints on 'A4' or 'Letter'. Gives { pdf, pages, sizes }: the bytes, how many pages, and the width
// and height of each in points.
async function print(page, format) {
  const pdf = Buffer.from(await page.pdf({ format, printBackground: true }));
  const text = pdf.toString('latin1');
  const sizes = [...text.matchAll(/\/Type\s*\/Page\b[^s][^]*?\/MediaBox\s*\[([^\]]*)\]/g)]
    .map((m) => m[1].trim().split(/\s+/).slice(2).map(Number));
  return { pdf, pages: sizes.length, sizes };
}

// A PNG of the whole page at that width in px.
async function screenshot(page, file, width) {
  if (width) await page.setViewport({ width, height: 900 });
  await page.screenshot({ path: file, fullPage: true });
}

// How far anything sticks out of the window sideways, in px; 0 where nothing does.
async function overflow(page) {
  return page.evaluate(() =>
    Math.max(0, document.documentElement.scrollWidth - document.documentElement.clientWidth));
}

// Runs { name: async (browser) => ... } one after the other in one browser, and ends the process:
// 0 when none throws.
async function run(tests, name) {
  const browser = await launch(name);
  let failed = 0;
  for (const [name, test] of Object.entries(tests)) {
    try {
      await test(browser);
      console.log(`ok      ${name}`);
    } catch (error) {
      failed += 1;
      console.log(`FAILED  ${name}\n${error.message}`);
    }
    for (const page of await browser.pages()) await page.close().catch(() => {});
    await browser.newPage();
  }
  await browser.close();
  process.exit(failed ? 1 : 0);
}

module.exports = { launch, open, axe, print, screenshot, overflow, run };
