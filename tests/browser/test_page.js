// SPDX-License-Identifier: GPL-3.0-or-later
// Walks the page of src/page as a reader would. Without PRESOLDER_PAGE (the path of presolder.html)
// the native program stands behind it. usage: test_page.js PRESOLDER SOURCES FOLDER
'use strict';

const assert = require('assert');
const childProcess = require('child_process');
const fs = require('fs');
const path = require('path');
const browser = require('./browser.js');
const jobs = require('./page_jobs.js');
const reader = require('./page_reader.js');
const { serve } = require('./dev-server/server.js');

const [program, root, folder] = process.argv.slice(2).map((p) => path.resolve(p));
const kept = path.join(folder, 'kept');
let address = process.env.PRESOLDER_PAGE;
if (address && !fs.existsSync(address)) address = null;
const { pause, addReading } = reader;
const begin = (chromium, options) => reader.begin(chromium, address, options);

const tests = {
  async 'first screen: dead or not, the bench, the transformer'(chromium) {
    const at = await begin(chromium);
    const text = await at.text();
    const order = [
      'UNPLUGGED IS NOT DEAD',
      'What is on the bench?',
      'first time',
      'works wrongly',
      'part to replace',
      'class to teach',
      'saved job',
      'power transformer in it',
      'Yes',
      'No',
      'know',
    ];
    let last = -1;
    for (const words of order) {
      const found = text.indexOf(words, last + 1);
      assert.ok(found > last, `${words} is missing or out of order`);
      last = found;
    }
    const times = (await at.text('body')).match(/UNPLUGGED IS NOT DEAD/g);
    assert.strictEqual(times.length, 1);
    await at.press('transformer-unknown');
    await at.until(() => /isolation transformer/.test(document.getElementById('sheet').innerText));
    await at.press('transformer-yes');
    await at.until(() => !/isolation transformer/.test(document.getElementById('sheet').innerText));
    await at.take('ac-dc');
    await at.until(() => /treat it as live/.test(document.getElementById('danger').innerText));
    at.clean();
  },

  async 'a shipped set: settled volts, turn-on not yet known, then the answer'(chromium) {
    const at = await begin(chromium);
    await at.take('field-coil');
    await at.go('answer');
    await at.page.waitForSelector('dl.figures');
    assert.match(await at.text('dl.figures'), /first filter\s*3[34]\d\sV[^]*B\+\s*22\d\sV/);
    const verdict = await at.text('#verdict');
    assert.ok(/not yet known/.test(verdict) || /453 V/.test(verdict), verdict);
    // its figures come first, and are no all-clear
    await at.until(() => /not yet an all-clear|453/.test(document.querySelector('#verdict').innerText));
    await at.until(() => !!document.querySelector('#verdict section'));
    assert.match(await at.text('#verdict'), /C1, C2/);
    await at.page.waitForSelector('figure img[alt*="C1 8 uF"]');
    const margins = await at.text('[aria-label^="Ratings used"]');
    assert.match(margins, /C1\s+highest voltage\s+453\sV\s+495\sV\s+near, 91 %/);
    assert.match(await at.text('.cautions'), /Discharge/);
    at.clean();
  },

  async 'questions and text are one set; errors stand at their line; nothing typed is lost'(
    chromium,
  ) {
    const at = await begin(chromium);
    await at.go('set');
    await at.press('form-field-coil');
    await at.page.waitForSelector('#ask-parts-C1-value');
    assert.match(await at.text(), /Marking: how many microfarads/);
    await at.says('farads, e.g. 8 uF');
    await at.type('ask-parts-C1-value', '16 uF');
    await at.page.keyboard.press('Tab');
    await at.until(() => /value: 16 uF/.test(document.querySelector('#text').value));
    assert.match(await at.page.$eval('#text', (e) => e.value), /# Marking: how many microfarads/);
    await at.type('ask-parts-C1-value', '16 mF');
    await at.page.keyboard.press('Tab');
    await at.page.waitForSelector('#ask-parts-C1-value-error');
    assert.match(await at.text('#ask-parts-C1-value-error'), /uF|mF/);
    await at.press('undo');
    await at.until(() => !document.querySelector('#ask-parts-C1-value-error'));
    await at.press('ask-parts-T1-primary-resistance-unknown');
    await at.until(
      () => document.querySelector('#ask-parts-T1-primary-resistance').value === 'unknown',
    );
    await at.type('ask-parts-L1-resistance', '1650 ohm co');
    if (await at.page.evaluate(() => store.able())) {
      await at.page.reload();
      await at.page.waitForSelector('#ask-parts-L1-resistance');
      assert.strictEqual(
        await at.page.$eval('#ask-parts-L1-resistance', (e) => e.value),
        '1650 ohm co',
      );
      assert.strictEqual(await at.page.$eval('#ask-parts-C1-value', (e) => e.value), '16 uF');
    }
    at.clean();
  },

  async 'a change in a sentence: settled at once, turn-on after it, what is old is marked'(
    chromium,
  ) {
    const at = await begin(chromium);
    await at.take('field-coil');
    await at.go('change');
    await at.page.waitForSelector('#C1-value-more');
    await at.idle();
    await at.press('C1-value-more');
    await at.until(() => document.querySelector('#C1-value-now').innerText === '10 uF');
    assert.match(await at.text(), /imagined/);
    await at.until(() => document.querySelector('[aria-label^="Settled and warm"] td.figure'));
    assert.match(await at.text(), /Turn-on not yet known/);
    assert.ok(!/nothing is over/.test(await at.text()));
    await at.idle();
    await at.until(() => !/not yet known/.test(document.querySelector('#sheet').innerText));
    const times = await at.page.evaluate(async () => {
      const slider = document.querySelector('#line');
      const began = performance.now();
      const before = document.querySelector('[aria-label^="Settled and warm"] td.figure').innerText;
      slider.value = '125';
      slider.dispatchEvent(new Event('input', { bubbles: true }));
      const look = (f) =>
        new Promise((resolve) => {
          const tick = () => (f() ? resolve(performance.now() - began) : setTimeout(tick, 10));
          tick();
        });
      const settled = await look(() => {
        const cell = document.querySelector('[aria-label^="Settled and warm"] td.figure');
        return cell && cell.innerText !== before && !cell.closest('.old');
      });
      const unknown =
        /not yet known/.test(document.querySelector('#sheet').innerText) &&
        !!document.querySelector('.old #verdict');
      const known = await look(
        () => !/not yet known/.test(document.querySelector('#sheet').innerText),
      );
      return { settled, unknown, known };
    });
    console.log(
      `        settled after ${Math.round(times.settled)} ms, turn-on after ${Math.round(times.known)} ms`,
    );
    assert.ok(times.unknown, 'the old verdict was not marked');
    await at.page.select('#also', 'V6');
    await at.page.waitForSelector('#V6-type-pick');
    await at.page.select('#V6-type-pick', 'GZ34');
    await at.until(() => store.get().changes.length === 3);
    await at.press('undo');
    await at.press('undo');
    await at.press('undo');
    await at.until(() => store.get().changes.length === 1);
    await at.press('as-found');
    await at.until(() => store.get().changes.length === 0);
    at.clean();
  },

  async 'pictures: one question each, with their ratings, found and imagined beside each other'(
    chromium,
  ) {
    const at = await begin(chromium);
    await at.take('field-coil');
    await at.go('change');
    await at.press('C1-value-more');
    const limits = {
      'turn-on': /rated 450 V/,
      cycles: /limit 400 mA/,
      restart: /limit 2.5 A/,
      inverse: /limit 1400 V/,
      warmth: /limit 105/,
    };
    for (const question of ['turn-on', 'cycles', 'restart', 'inverse', 'warmth', 'heat']) {
      await at.go(`see/${question}`);
      await at.until(() => document.querySelectorAll('svg.chart').length === 2);
      const charts = await at.page.$$eval('svg.chart', (all) =>
        all.map((c) => c.textContent.replace(/\u00a0/g, ' ')),
      );
      for (const text of charts) if (limits[question]) assert.match(text, limits[question]);
      const curves = await at.page.$$eval('svg.chart', (all) =>
        all.map(
          (c) =>
            [...c.querySelectorAll('.curve')].filter((p) => p.getAttribute('d').length > 40).length,
        ),
      );
      assert.ok(
        curves.every((n) => n >= 2),
        `${question}: ${curves}`,
      );
    }
    await at.go('see/wiring');
    await at.until(() => document.querySelectorAll('figure img').length === 2);
    at.clean();
  },

  async 'the day: one reading a screen, and only with the plug out'(chromium) {
    const at = await begin(chromium);
    await at.press('bench-first');
    await at.press('transformer-yes');
    await at.take('field-coil');
    await at.go('day');
    await at.press('next-reading');
    await at.says('Discharge every filter capacitor');
    await at.type('typed', '7,1');
    await at.press('keep-reading');
    await at.says('no commas');
    await at.type('typed', '7.1k');
    await at.press('keep-reading');
    await at.until(() => store.get().readings['1|first filter to chassis|ohm'] === '7.1 kohm');
    await at.press('day-3');
    await at.says('Full line only when');
    const id = await at.page.$eval('#next-reading', (e) => e.hash);
    await at.go(id.slice(1));
    assert.strictEqual(await at.page.$('#typed'), null);
    await at.press('plug-out');
    await at.type('typed', '329');
    await at.press('keep-reading');
    await at.until(() => /329 V/.test(document.querySelector('#sheet').innerText));
    await at.press('undo');
    await at.until(() => !/329 V/.test(document.querySelector('#sheet').innerText));
    await at.press('day-4');
    await at.says('by touch');
    at.clean();
  },

  async 'what is wrong: readings in, causes and the next reading out'(chromium) {
    const at = await begin(chromium);
    await at.take('field-coil');
    await at.go('wrong');
    await addReading(at, 'DC', 'first filter', '329');
    await addReading(at, 'AC', 'first filter', '14.9 V');
    await addReading(at, 'DC', 'B+', '194');
    await addReading(at, 'ohm', 'B+', '7.1k');
    await at.press('diagnose');
    await at.page.waitForSelector('#most-likely');
    assert.match(await at.text('#most-likely'), /C2: leaky/);
    assert.match(await at.text('[aria-label^="Causes"]'), /(9\d|100)\s%\s+C2: leaky/);
    await at.go('answer');
    await at.says('194 V');
    at.clean();
  },

  async 'sheets: discharge, shopping list, fuse, hot chassis, each with its cautions'(chromium) {
    const at = await begin(chromium);
    await at.take('ac-dc');
    for (const [sheet, words] of [
      ['discharge', /to 30 V, cold/],
      ['buy-list', /160|200|250/],
      ['hot-chassis', /LIVE/],
    ]) {
      await at.go(`sheets/${sheet}`);
      await at.page.waitForSelector('.report');
      const text = await at.text();
      assert.match(text, words, sheet);
      assert.match(text, /Cautions/);
    }
    at.clean();
  },

  async 'kept: the job as a file, opened again; undo brings the other back'(chromium) {
    const at = await begin(chromium);
    await at.keepsIn(kept);
    await at.take('doubler');
    await at.go('change');
    await at.page.waitForSelector('#line');
    await at.page.$eval('#line', (e) => {
      e.value = '110';
      e.dispatchEvent(new Event('input', { bubbles: true }));
    });
    await at.go('wrong');
    await addReading(at, 'current', '', '0.4');
    await at.go('keep');
    await at.press('save-job');
    const file = await at.kept('doubler.job.json');
    const save = async (id, name) => {
      await at.press(id);
      return fs.readFileSync(await at.kept(name));
    };
    await at.press('make-found');
    await at.press('make-report');
    const zip = (await save('save-found', 'doubler-found.zip')).toString('latin1');
    for (const name of ['summary.txt', 'figures.csv', 'trace.csv', 'plots/turn-on.gp'])
      assert.ok(zip.includes(`doubler-found/${name}`), name);
    const report = (await save('save-report', 'doubler-report.html')).toString();
    assert.ok(report.match(/<svg class="chart"/g).length > 4);
    assert.match(report, /from <code>doubler.yaml/);
    assert.ok(!/gnuplot/.test(report));
    const places = await at.page.evaluate(() => engine.places);
    if (places) {
      // Where git is not installed, nobody knows the commit.
      if (places.commit) assert.match(await at.text(), /commit [0-9a-f]{12}/);
      assert.match(await at.text(), /package gsl \d[^]*package emscripten 3/);
      const source = await save('save-source', 'presolder-source.tar.xz');
      assert.strictEqual(source.toString('latin1', 0, 6), '\xfd7zXZ\0');
    }
    await at.take('bridge');
    await at.go('start');
    await at.press('bench-saved');
    const input = await at.page.waitForSelector('#job-file');
    await input.uploadFile(file);
    await at.until(() => store.get().name === 'doubler.yaml');
    const job = await at.page.evaluate(() => store.get());
    assert.deepStrictEqual(job.changes, [{ part: 'mains', key: 'voltage', to: '110 V' }]);
    assert.deepStrictEqual(job.readings, { '3|mains|current': '0.4 A' });
    await at.press('undo');
    await at.until(() => store.get().name === 'bridge.yaml');
    await at.go('start');
    fs.writeFileSync(
      path.join(kept, 'no-job.json'),
      '{"presolder": 1, "text": 7, "changes": {"part": 1}}',
    );
    await (await at.page.waitForSelector('#job-file')).uploadFile(path.join(kept, 'no-job.json'));
    await at.until(() => store.get().text === '' && Array.isArray(store.get().changes));
    at.clean();
  },

  async 'a text is never read as markup'(chromium) {
    const at = await begin(chromium);
    await at.page.exposeFunction('struck', () => {
      throw new Error('a script of the scenario ran');
    });
    const bad = '<img src=x onerror=struck()><script>struck()</script>';
    const text = fs
      .readFileSync(path.join(root, 'scenarios/field-coil.yaml'), 'utf8')
      .replace(/^title:.*/m, `title: '${bad}'`)
      .replace(/first filter/g, 'a <b><img> & <script> point');
    await at.page.evaluate((t) => store.change('a bad set', { name: '<i>x.yaml', text: t }), text);
    for (const where of [
      'set',
      'questions',
      'answer',
      'change',
      'see/wiring',
      'wrong',
      'day',
      'keep',
    ]) {
      await at.go(where);
      await pause(300);
      assert.strictEqual(
        await at.page.$('#sheet script, #bar img, img[src="x"], [onclick], [onerror], #sheet b'),
        null,
      );
    }
    await at.go('answer');
    await at.page.waitForSelector('dl.figures');
    assert.match(await at.text('#bar'), /<img src=x/);
    at.clean();
  },

  async 'a run is stopped at once, and says that it is partial'(chromium) {
    const at = await begin(chromium);
    await at.take('field-coil');
    await at.go('sheets/bench-sheet');
    await at.page.waitForSelector('#stop');
    // the ohms before power are the first of its runs
    await at.until(() => /bench sheet. [1-9]\d %/.test(document.querySelector('#foot').innerText));
    const began = Date.now();
    await at.press('stop');
    await at.says('Stopped.');
    await at.until(() => !document.querySelector('#stop'));
    console.log(`        stopped after ${Date.now() - began} ms`);
    assert.match(await at.text(), /Partial[^]*INTERRUPTED[^]*plug: line to neutral\s*8\.4\sohm/);
    await at.press('go-on');
    await at.page.waitForSelector('#stop');
    at.clean();
  },

  ...jobs(begin, kept),

  async 'axe finds nothing, nothing sticks out, on a telephone, a tablet, zoomed, and a projector'(
    chromium,
  ) {
    const screens = [
      'start',
      'set',
      'questions',
      'answer',
      'change',
      'see/turn-on',
      'see/wiring',
      'wrong',
      'sheets',
      'sheets/discharge',
      'class',
      'keep',
      'day',
    ];
    const at = await begin(chromium);
    await at.press('transformer-no');
    await at.take('field-coil');
    await at.go('change');
    await at.press('C1-value-more');
    await at.idle();
    for (const screen of screens) {
      await at.go(screen);
      if (screen !== 'day') await at.idle();
      for (const [width, dark] of [
        [360, false],
        [640, true],
        [1024, false],
        [1920, true],
      ]) {
        await at.page.setViewport({ width, height: 900 });
        await at.page.emulateMediaFeatures([
          { name: 'prefers-color-scheme', value: dark ? 'dark' : 'light' },
        ]);
        await pause(300);
        if (screen === 'see/wiring' || screen === 'answer') await at.idle();
        assert.deepStrictEqual(await browser.axe(at.page), [], `${screen}, ${width}`);
        assert.strictEqual(await browser.overflow(at.page), 0, `${screen} sticks out at ${width}`);
        const seen = await at.page.evaluate(() => {
          const all = (what) =>
            [...document.querySelectorAll(what)].filter((e) => e.checkVisibility());
          const named = (list) => list.map((e) => e.outerHTML.slice(0, 80));
          return {
            letters: named(
              all('#sheet *, header *').filter(
                (e) =>
                  [...e.childNodes].some((n) => n.nodeType === 3 && n.data.trim()) &&
                  parseFloat(getComputedStyle(e).fontSize) < 18,
              ),
            ),
            targets: named(
              all('button, select, .act, nav a, input[type=text], summary').filter(
                (e) => e.getBoundingClientRect().height < 48,
              ),
            ),
          };
        });
        assert.deepStrictEqual(
          seen,
          { letters: [], targets: [] },
          `${screen}, ${width}: too small`,
        );
        const tag = `${screen.replace('/', '-')}-${width}`;
        await browser.screenshot(at.page, path.join(folder, `page-${tag}.png`));
      }
      await at.page.setViewport({ width: 1280, height: 900 });
    }
    at.clean();
  },
};

async function main() {
  fs.mkdirSync(folder, { recursive: true });
  const only = process.env.PRESOLDER_ONLY;
  const chosen = Object.fromEntries(
    Object.entries(tests)
      .filter(([name]) => !only || name.includes(only))
      .map(([name, test]) => [
        name,
        async (chromium) => {
          const context = await chromium.createBrowserContext();
          try {
            await test(context);
          } finally {
            await context.close();
          }
        },
      ]),
  );
  if (!address) {
    const library = path.join(folder, 'library');
    childProcess.execFileSync('sh', [path.join(root, 'src/page/library.sh'), library], {
      stdio: 'inherit',
    });
    const server = serve(program, path.join(library, 'library.js'));
    await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
    address = `http://127.0.0.1:${server.address().port}/`;
  }
  await browser.run(chosen);
}

main();
