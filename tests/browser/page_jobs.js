// SPDX-License-Identifier: GPL-3.0-or-later
// Whole jobs on the page: by the keyboard alone, by taps, and over a reload at any screen.
'use strict';

const assert = require('assert');
const fs = require('fs');
const path = require('path');
const { pause } = require('./page_reader.js');

// The tests; `begin` opens the page in a browser, `kept` is the folder for what is saved.
module.exports = (begin, kept) => ({
  async 'a whole job by the keyboard alone'(chromium) {
    const at = await begin(chromium);
    await at.keepsIn(kept);
    const on = (what) => at.page.evaluate((w) => !!document.activeElement.matches(w), what);
    const to = async (what, back) => {
      if (back) await at.page.keyboard.down('Shift');
      for (let i = 0; i < 60 && !(await on(what)); i += 1) await at.page.keyboard.press('Tab');
      if (back) await at.page.keyboard.up('Shift');
      assert.ok(await on(what), `${what} cannot be reached with the tab key`);
    };
    const key = (name) => at.page.keyboard.press(name);
    const screen = async (name) => {
      await to(`#go-${name}`, true);
      await key('Enter');
      // a screen that comes has the focus on its title
      await at.until(() => document.activeElement.id === 'title');
    };
    await to('#bench-first');
    await key('ArrowDown');
    await key('ArrowDown');
    await at.until(() => store.get().bench === 'part');
    await to('#transformer-yes');
    await key('Space');
    await to('a.act[href="#set"]');
    await at.page.evaluate(() => {
      main.again();
      return new Promise((drawn) => setTimeout(drawn, 50));
    });
    assert.ok(await on('a.act[href="#set"]'), 'a link loses the focus when the page is drawn anew');
    await key('Enter');
    await at.until(() => document.activeElement.id === 'title');
    await at.there('[id="take-field-coil.yaml"]');
    await to('[id="take-field-coil.yaml"]');
    await key('Enter');
    await at.there('#C1-value-more');
    await to('#C1-value-more');
    await key('Enter');
    await at.until(() => document.querySelector('#C1-value-now').innerText === '10 uF');
    assert.ok(await on('#C1-value-more'), 'the focus is lost');
    await to('#line');
    await key('ArrowRight');
    await at.until(() => store.get().changes.some((c) => c.to === '118 V'));
    await to('#undo', true);
    await key('Enter');
    await at.until(() => store.get().changes.length === 1);
    await at.until(() => /Settled: first filter 339/.test(document.getElementById('said').innerText));
    await screen('wrong');
    await to('#add-of');
    await at.page.keyboard.type('B');
    await to('#add-value');
    await at.page.keyboard.type('194');
    await key('Enter');
    await at.until(() => store.get().readings['3|B+|DC'] === '194 V');
    await screen('day');
    await to('#next-reading');
    await key('Enter');
    await at.there('#typed');
    await to('#typed');
    await at.page.keyboard.type('7,1');
    await key('Enter');
    await at.until(() => /no commas/.test(document.getElementById('said').innerText));
    for (let i = 0; i < 3; i += 1) await key('Backspace');
    await at.page.keyboard.type('7.1k');
    await key('Enter');
    await at.until(() => Object.values(store.get().readings).includes('7.1 kohm'));
    await screen('keep');
    await to('#save-job');
    await key('Enter');
    await at.kept('field-coil.job.json');
    at.clean();
  },

  async 'a whole job by taps on a telephone'(chromium) {
    const at = await begin(chromium);
    await at.keepsIn(kept);
    await at.page.setViewport({ width: 390, height: 844, hasTouch: true, isMobile: true });
    await at.page.reload();
    const tap = async (what, times = 3) => {
      await at.there(what);
      await at.page.$eval(what, (e) => e.scrollIntoView({ block: 'center' }));
      await pause(100);
      try {
        await at.page.tap(what);
      } catch (e) { // drawn anew in between
        if (times === 0 || !/detached/.test(e.message)) throw e;
        await tap(what, times - 1);
      }
      await pause(150);
    };
    /* What is drawn anew under the finger takes no tap: it is tapped again. */
    const tapTo = async (what, next) => {
      for (let k = 0; k < 3; k++) {
        await tap(what);
        if (await at.page.waitForSelector(next, { timeout: 5000 }).catch(() => null)) return;
      }
    };
    const screen = async (name) => {
      await tap('#pages-fold > summary');
      await tap(`#go-${name}`);
    };
    await tap('label[for="bench-part"]');
    await tap('label[for="transformer-no"]');
    await at.says('one side of the line');
    await tap('a.act[href="#set"]');
    await tap('[id="take-field-coil.yaml"]');
    await tap('#C1-value-more');
    await at.until(() => document.querySelector('#C1-value-now').innerText === '10 uF');
    const slider = await at.page.$eval('#line', (e) => {
      e.scrollIntoView({ block: 'center' });
      const { right, top, height } = e.getBoundingClientRect();
      return [right - 20, top + height / 2];
    });
    await at.page.touchscreen.tap(...slider);
    await at.until(() => store.get().changes.length === 2);
    await tap('#undo');
    await at.until(() => store.get().changes.length === 1);
    await at.until(() => document.querySelector('[aria-label^="Settled and warm"] td.figure'));
    await screen('day');
    await tap('label[for="day-3"]');
    await tapTo('#next-reading', 'label[for="plug-out"]');
    await tapTo('label[for="plug-out"]', '#typed');
    await tap('#typed');
    await at.page.keyboard.type('329');
    await tap('#keep-reading');
    await at.until(() => Object.values(store.get().readings).includes('329 V'));
    await screen('see');
    await at.there('svg.chart');
    await screen('keep');
    fs.rmSync(path.join(kept, 'field-coil.job.json'), { force: true });
    await tap('#save-job');
    await at.kept('field-coil.job.json');
    at.clean();
  },

  async 'a reload at any screen loses nothing'(chromium) {
    const at = await begin(chromium);
    if (!(await at.page.evaluate(() => store.able()))) return;
    await at.press('bench-class');
    await at.press('transformer-yes');
    await at.take('bridge');
    await at.page.evaluate(() => {
      const changes = [{ part: 'mains', key: 'voltage', to: '220 V' }];
      store.change('a change', { changes, readings: { '3|mains|current': '0.4 A' }, day: '3' });
    });
    const look = () =>
      at.page.evaluate(() => [
        document.querySelector('#title').innerText,
        JSON.stringify(store.get()),
        document.querySelector('#undo').innerText,
      ]);
    for (const screen of ['start', 'set', 'questions', 'answer', 'day', 'reading/3%7Cmains%7Ccurrent',
      'change', 'see/heat', 'wrong', 'sheets', 'sheets/fuse', 'class', 'keep']) {
      await at.go(screen);
      const before = await look();
      await at.page.reload();
      await at.there('#title');
      assert.deepStrictEqual(await look(), before, screen);
    }
    await at.press('undo');
    await at.until(() => store.get().day === '1');
    at.clean();
  },
});
