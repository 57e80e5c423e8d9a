// SPDX-License-Identifier: GPL-3.0-or-later
// The program in the page against the native one: figures of all shipped scenarios and variants, texts,
// runs that are stopped; then its engine in Chromium. usage: test_engine.js PRESOLDER SOURCES FOLDER,
// with the page in PRESOLDER_PAGE; 77 where there is none.
'use strict';

const assert = require('assert');
const { spawnSync } = require('child_process');
const fs = require('fs');
const path = require('path');
const browser = require('./browser.js');
const node = require('./page_in_node.js');

const [program, root, folder] = process.argv.slice(2).map((p) => path.resolve(p));
const pageFile = process.env.PRESOLDER_PAGE;
if (!pageFile || !fs.existsSync(pageFile)) {
  console.log('skipped: the page is not built (sh src/page/build.sh)');
  process.exit(77);
}

const scenarios = fs.readdirSync(path.join(root, 'scenarios')).filter((n) => n.endsWith('.yaml'));
const textOf = (name) => fs.readFileSync(path.join(root, 'scenarios', name), 'utf8');

// The native program in a folder of its own, as the worker runs it: { code, stdout, files }.
function native(args, files) {
  const here = path.join(folder, 'native');
  fs.rmSync(here, { recursive: true, force: true });
  fs.mkdirSync(here, { recursive: true });
  for (const [name, text] of Object.entries(files)) fs.writeFileSync(path.join(here, name), text);
  const began = performance.now();
  const { status, stdout } = spawnSync(program, args, { cwd: here, encoding: 'utf8', maxBuffer: 1 << 28 });
  const time = performance.now() - began;
  const out = path.join(here, 'out');
  const found = {};
  for (const name of fs.existsSync(out) ? fs.readdirSync(out) : []) {
    const file = path.join(out, name);
    if (fs.statSync(file).isFile()) found[`out/${name}`] = fs.readFileSync(file, 'utf8');
  }
  return { code: status, stdout, files: found, time };
}

// Rows of a CSV of figures; fields may stand in quotes.
function rows(text) {
  return text.trim().split('\n').slice(1).map((line) => {
    const f = [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)].map((m) => m[1]);
    return { name: f.slice(0, 3).join(','), subject: f[1], value: Number(f[3]), unit: f[4], verdict: f[7] };
  });
}

// Both have the same rows, and values to the share that the program promises of extremes and ripple; what
// is less than a hundredth of the largest that its part has of that unit, or a millionth of the largest of
// all parts, is held against that. What an audit leaves over is rounding: it must only pass.
const SHARE = 1e-4;
const FLOOR = 1e-6;
const PART_FLOOR = 1e-2;
const AUDITED = 1e-6;
function compareFigures(name, own, other) {
  const mine = rows(own);
  const theirs = rows(other);
  assert.deepStrictEqual(mine.map((r) => r.name), theirs.map((r) => r.name), name);
  const largest = {};
  const owner = (r) => `${r.subject.split('.')[0]} ${r.unit}`;
  for (const r of theirs) {
    if (!Number.isFinite(r.value)) continue;
    for (const of of [owner(r), r.unit]) largest[of] = Math.max(largest[of] || 0, Math.abs(r.value));
  }
  let worst = 0;
  mine.forEach((r, i) => {
    const t = theirs[i];
    const what = `${name}: ${r.name}: ${r.value}, native ${t.value}`;
    if (/audit-(energy|charge)$/.test(r.name)) {
      assert.strictEqual(r.value < AUDITED, t.value < AUDITED, what);
    } else if (!Object.is(r.value, t.value)) {
      const scale = Math.max(Math.abs(t.value), PART_FLOOR * largest[owner(t)], FLOOR * largest[t.unit]);
      const off = Math.abs(r.value - t.value) / scale;
      assert.ok(off < SHARE, what);
      worst = Math.max(worst, off);
    }
    assert.strictEqual(r.verdict, t.verdict, what);
  });
  return { worst, count: mine.length };
}

const SET = 'set.yaml';
const figuresFile = 'out/figures.csv';
const seconds = (ms) => `${(ms / 1000).toFixed(2)} s`;
let run;

const tests = {
  async 'figures of all scenarios and variants, two seconds from cold and warm'() {
    for (const name of scenarios) {
      const files = { [SET]: textOf(name) };
      const args = ['compare', SET, '--for', '2s', '--quiet', '--no-plots', '--out', 'out'];
      const theirs = native(args, files);
      const mine = await run({ args, files });
      assert.strictEqual(mine.code, theirs.code, name);
      const { worst, count } = compareFigures(name, mine.files[figuresFile], theirs.files[figuresFile]);
      console.log(`        ${name}: ${count} figures, off by ${worst.toExponential(1)} at most; ` +
        `${seconds(mine.times.run)}, native ${seconds(theirs.time)}`);
    }
  },

  async 'a whole turn-on: figures, curves of equal shape, summary'() {
    const files = { [SET]: textOf('field-coil.yaml') };
    const args = ['switch-on', SET, '--no-plots', '--out', 'out'];
    const theirs = native(args, files);
    const mine = await run({ args, files });
    compareFigures('field-coil', mine.files[figuresFile], theirs.files[figuresFile]);
    assert.deepStrictEqual(Object.keys(mine.files).sort(), Object.keys(theirs.files).sort());
    for (const name of ['out/trace.csv', 'out/heat.csv', 'out/restart.csv']) {
      const [head] = theirs.files[name].split('\n', 1);
      assert.strictEqual(mine.files[name].split('\n', 1)[0], head);
      const last = (text) => Number(text.trim().split('\n').pop().split(',')[0]);
      assert.ok(Math.abs(last(mine.files[name]) - last(theirs.files[name])) < 1e-6, name);
    }
    assert.strictEqual(mine.stdout, theirs.stdout);
    console.log(`        ${seconds(mine.times.run)}, native ${seconds(theirs.time)}`);
  },

  async 'texts and drawings: the same'() {
    const wanted = [['parts'], ['parts', '5Y3-GT'], ['new'], ['new', 'field-coil'], ['--help']];
    for (const name of scenarios) {
      wanted.push(['check', SET, name]);
      wanted.push(['schematic', SET, '--without-voltages', '--out', 'out', name]);
    }
    for (const words of wanted) {
      const name = words[words.length - 1];
      const files = name.endsWith('.yaml') ? { [SET]: textOf(name) } : {};
      const args = name.endsWith('.yaml') ? words.slice(0, -1) : words;
      const theirs = native(args, files);
      const mine = await run({ args, files });
      assert.strictEqual(mine.code, theirs.code, words.join(' '));
      assert.strictEqual(mine.stdout, theirs.stdout, words.join(' '));
      assert.deepStrictEqual(mine.files, theirs.files, words.join(' '));
    }
  },

  async 'a wrong scenario: the place and the hint'() {
    const mine = await run({ args: ['check', SET], files: { [SET]: textOf('bridge.yaml').replace(/uF/, 'uH') } });
    assert.strictEqual(mine.code, 3);
    assert.match(mine.stderr, /^set\.yaml:\d+:\d+: error: /m);
    const none = await run({ args: ['switch-on', 'none.yaml'] });
    assert.strictEqual(none.code, 3);
    assert.match(none.stderr, /there is no such file/);
  },

  // A function that is on the stack there, and stands in keeps_going.txt all the same, shows here.
  async 'letting go at every chance changes nothing, whatever runs'() {
    const files = { [SET]: textOf('field-coil.yaml'),
      'read.yaml': fs.readFileSync(path.join(root, 'scenarios/readings/low-b-plus.yaml'), 'utf8') };
    for (const words of ['switch-on --for 0.1s', 'compare --for 0.1s', 'try C1.value=4.7uF,10uF',
      'try C1.value=4.7uF,10uF --cold --for 0.1s', 'discharge --for 0.3s', 'hot-chassis', 'fuse --for 0.3s',
      'buy-list --for 0.3s', 'tolerances --samples 2', 'schematic',
      'find-value --change C1.value --so-that B+_settled-voltage_=_215_V',
      'find-value --change C1.value --so-that B+_settled-voltage_=_230_V --change C2.value --so-that B+_ripple-rms_=_1_V',
      'diagnose --readings read.yaml']) {
      const [command, ...more] = words.split(' ').map((w) => w.replace(/_/g, ' '));
      const args = [command, SET, ...more, '--out', 'out'];
      const began = performance.now();
      const { times: a, ...plain } = await run({ args, files }, { look: 1e9 });
      const { times: b, ...letting } = await run({ args, files }, { look: -1 });
      console.log(`        ${words}: code ${plain.code}, ${seconds(performance.now() - began)}`);
      assert.deepStrictEqual(letting, plain, words);
    }
  },

  async 'a run that is stopped keeps what it has found'() {
    const files = { [SET]: textOf('field-coil.yaml') };
    const args = ['switch-on', SET, '--no-plots', '--out', 'out'];
    const mine = await run({ args, files }, { look: 0, stopAt: 0.5 });
    assert.strictEqual(mine.code, 6);
    const at = rows(mine.files[figuresFile]).find((r) => r.name === 'base,set,interrupted-at');
    assert.ok(at.value >= 3 && at.value < 30, `interrupted at ${at.value} s`);
    assert.ok(mine.files['out/trace.csv'].split('\n').length > 100);
    assert.match(mine.stdout, /^INTERRUPTED/);
    assert.strictEqual((await run({ args: ['check', SET], files })).code, 0);
  },

  async 'in Chromium from a file: quick figures beside a turn-on, stopped, dropped'(chromium) {
    const { page, messages, requests } = await browser.open(chromium, pageFile);
    const seen = await page.evaluate(async (text) => {
      const files = { 'set.yaml': text };
      const timed = async (going) => {
        const began = performance.now();
        const { code, stdout, files: out } = await going;
        return { time: performance.now() - began, code, stdout, names: Object.keys(out).sort() };
      };
      const settled = (volts) => timed(engine.run({ files, lane: 'asked',
        args: ['try', 'set.yaml', `mains.voltage=${volts} V`, '--no-plots', '--quiet', '--out', 'out'] }));
      const shares = [];
      const turnOn = (...more) => engine.run({ files, lane: 'background',
        args: ['switch-on', 'set.yaml', '--no-plots', '--quiet', '--out', 'out', ...more] },
      (share) => shares.push(share));
      const endless = () => turnOn('--every-cycle', '--for', '600s');
      const all = { settled: [] };
      for (let k = 0; k < 8; k++) all.settled.push(await settled(110 + k));
      all.turnOn = await timed(turnOn());
      const told = shares.length;
      const going = endless();
      all.beside = await settled(121);
      while (shares.length === told) await new Promise((later) => setTimeout(later, 10));
      going.stop();
      all.stopped = await timed(going);
      const unwanted = endless();
      setTimeout(() => unwanted.stop(true), 300);
      all.dropped = await timed(unwanted);
      all.after = await timed(engine.run({ files, lane: 'background', args: ['check', 'set.yaml'] }));
      all.shares = shares;
      all.refused = await new Promise((resolve) => {
        document.addEventListener('securitypolicyviolation', (e) => resolve(e.effectiveDirective));
        fetch('http://127.0.0.1:9/').catch(() => {});
      });
      return all;
    }, textOf('field-coil.yaml'));
    for (const one of [...seen.settled, seen.beside, seen.turnOn, seen.after]) assert.strictEqual(one.code, 0);
    assert.deepStrictEqual(seen.stopped.names, ['out/figures.csv', 'out/heat.csv', 'out/trace.csv']);
    assert.strictEqual(seen.stopped.code, 6);
    assert.strictEqual(seen.dropped.code, 6);
    assert.deepStrictEqual(seen.dropped.names, []);
    assert.ok(seen.shares.length > 3 && seen.shares.every((s) => s > 0 && s <= 1));
    assert.strictEqual(seen.refused, 'connect-src');
    assert.deepStrictEqual(requests.filter((r) => !/^(blob|data):/.test(r)), []);
    assert.ok(messages.every((m) => /Content Security Policy/.test(m)), messages.join('\n'));
    const times = seen.settled.map((s) => s.time.toFixed(0)).join(', ');
    console.log(`        settled figures ${times} ms, beside a turn-on ${seen.beside.time.toFixed(0)} ms; ` +
      `turn-on ${seconds(seen.turnOn.time)}; stopped after ${seen.stopped.time.toFixed(0)} ms`);
  },
};

node.load(pageFile).then((loaded) => {
  run = loaded;
  browser.run(tests);
});
