// SPDX-License-Identifier: GPL-3.0-or-later
// What a reader of the page does: go to a screen, press, type, wait until something is said.
'use strict';

const assert = require('assert');
const fs = require('fs');
const path = require('path');
const browser = require('./browser.js');

const pause = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

// Presses what the selector finds; what was drawn anew between looking and pressing is looked for again.
async function press(page, selector) {
  for (let tries = 0; ; tries += 1) {
    try {
      await page.waitForSelector(selector);
      await page.$eval(selector, (e) => e.scrollIntoView({ block: 'center' }));
      await page.click(selector);
      return;
    } catch (error) {
      if (tries > 9 || !/detached|not clickable|No element/i.test(error.message)) throw error;
      await pause(100);
    }
  }
}

// The page at `address` in a browser.
async function begin(chromium, address, options) {
  const opened = await browser.open(chromium, address, options);
  const { page } = opened;
  const patience = Number(process.env.PRESOLDER_PATIENCE) || 180000;
  page.setDefaultTimeout(patience);

  // In Firefox a watch inside of the page may be lost when the address changes: it is asked again and
  // again from outside.
  async function watch(what, ...args) {
    if (!options || !options.plain) {
      await page.waitForFunction(what, { polling: 50 }, ...args);
      return;
    }
    for (const end = Date.now() + patience; ; await pause(100)) {
      if (await page.evaluate(what, ...args).catch(() => false)) return;
      if (Date.now() > end) throw new Error(`Not within ${patience} ms.`);
    }
  }

  const at = {
    ...opened,
    go: async (where) => {
      await page.evaluate((w) => {
        location.hash = w;
      }, where);
      await pause(250);
    },
    press: (id) => press(page, `[id="${id}"]:not([disabled])`),
    text: (selector) => page.$eval(selector || '#sheet', (e) => e.innerText),
    until: (what) =>
      watch(what).catch((error) => {
        throw new Error(`${error.message} It never came true: ${what}`);
      }),
    there: (selector) =>
      watch((s) => !!document.querySelector(s), selector).catch((error) => {
        throw new Error(`${error.message} It never came: ${selector}`);
      }),
    says: (words) =>
      watch((w) => document.body.innerText.includes(w), words).catch((error) => {
        throw new Error(`${error.message} It was never said: ${words}`);
      }),
    idle: () =>
      watch(() => /Nothing is being computed/.test(document.getElementById('foot').innerText)),
    type: async (id, words) => {
      await page.waitForSelector(`[id="${id}"]`);
      // In one step: a field that was looked up before may have been drawn anew since.
      await page.evaluate((at) => {
        const field = document.getElementById(at);
        field.focus();
        field.select();
      }, id);
      await page.keyboard.type(words);
    },
    // Files that are saved go to `folder`, and `kept` gives the path of one that has come there.
    keepsIn: async (folder) => {
      fs.mkdirSync(folder, { recursive: true });
      const session = await page.createCDPSession();
      await session.send('Page.setDownloadBehavior', { behavior: 'allow', downloadPath: folder });
      at.kept = async (name) => {
        const file = path.join(folder, name);
        for (let i = 0; i < 200 && !fs.existsSync(file); i += 1) await pause(50);
        assert.ok(fs.existsSync(file), `${name} was not saved`);
        return file;
      };
    },
    take: async (name) => {
      await page.evaluate(() => {
        location.hash = 'set';
      });
      await press(page, `[id="take-${name}.yaml"]`);
      await pause(200);
    },
    // Nothing on the console, and no way out: what is asked for comes from the page itself.
    clean: () => {
      assert.deepStrictEqual(opened.messages, []);
      const itself = `file://${address}`;
      const own = new URL(address.includes('://') ? address : `file://${address}`).origin;
      assert.deepStrictEqual(
        opened.requests.filter(
          (r) =>
            !/^(blob|data):/.test(r) &&
            !(own === 'null' ? r.split('#')[0] === itself : r.startsWith(own)),
        ),
        [],
      );
    },
  };
  return at;
}

async function addReading(at, way, of, value) {
  if (!(await at.page.$eval('#add', (e) => e.open))) await press(at.page, '#add summary');
  await at.page.select('#add-way', way);
  if (of) await at.page.select('#add-of', of);
  await at.type('add-value', value);
  await at.press('add-reading');
  await pause(150);
}

module.exports = { pause, begin, addReading };
