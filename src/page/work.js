// SPDX-License-Identifier: GPL-3.0-or-later
// Runs of the engine, in lanes that go on side by side: what was asked for, the start from cold, work
// in the background, and what takes minutes; one at a time in each. What a screen wants is run once
// for each input; the result before stays, marked as old, until the next
// is there.
'use strict';

const work = (() => {
  const results = new Map();
  const listeners = [];
  const queue = [];
  const now = {}; // the run of each lane
  let told = false;
  let held = false;

  // Screens are told once for all that happens in one turn.
  function tell() {
    if (told) return;
    told = true;
    setTimeout(() => {
      told = false;
      for (const listen of [...listeners]) listen();
    }, 0);
  }

  // Progress is no result: only what shows it listens.
  let progressed = () => {};

  const LANES = ['asked', 'turn-on', 'background', 'long'];
  const running = () => LANES.map((lane) => now[lane]).filter(Boolean);

  function next() {
    for (const lane of LANES) {
      const at = now[lane] ? -1 : queue.findIndex((q) => q.lane === lane);
      if (at >= 0) begin(queue.splice(at, 1)[0], lane);
    }
  }

  function begin(mine, lane) {
    const began = performance.now();
    now[lane] = mine;
    mine.run = engine.run({ args: mine.args, files: mine.files, lane }, (progress) => {
      mine.progress = progress;
      progressed();
    });
    mine.run
      .catch((error) => ({ code: 4, stdout: '', stderr: String(error), files: {} }))
      .then((out) => {
        now[lane] = null;
        if (!mine.dropped) {
          results.set(mine.name, {
            sign: mine.sign,
            out,
            time: performance.now() - began,
            partial: mine.stopped || out.code === 6,
          });
        }
        next();
        tell();
      });
    tell();
  }

  function drop(mine) {
    mine.dropped = true;
    mine.run.stop(true);
  }

  // Asks for a result by name; nothing happens where it is there or on its way. `request`: args,
  // files, lane. In all lanes but the first what runs for an input that is no more makes room at once.
  function want(name, request) {
    const sign = JSON.stringify([request.args, request.files]);
    const have = results.get(name);
    if (have && have.sign === sign) return;
    if (held) return;
    const waiting = queue.findIndex((q) => q.name === name);
    if (waiting >= 0) {
      if (queue[waiting].sign === sign) return;
      queue.splice(waiting, 1);
    }
    const same = running().find((r) => r.name === name && !r.dropped);
    if (same && same.sign === sign) return;
    if (same && same.lane !== 'asked') drop(same);
    queue.push({ ...request, name, sign });
    next();
    tell();
  }

  // What runs or waits under that name for another input ends.
  function cancel(name, request) {
    const sign = JSON.stringify([request.args, request.files]);
    const stale = (r) => r.name === name && r.sign !== sign && !r.dropped;
    for (let i = queue.length - 1; i >= 0; i -= 1) if (stale(queue[i])) queue.splice(i, 1);
    running().filter(stale).forEach(drop);
  }

  // { state, out, progress, time }: state is none, running (nothing before), old (the one before
  // stays while the new one runs), fresh, partial (stopped) or failed.
  function look(name, request) {
    const sign = request && JSON.stringify([request.args, request.files]);
    const have = results.get(name);
    const runs = [...running(), ...queue].find((r) => r.name === name && !r.dropped);
    const progress = runs ? runs.progress : null;
    if (!have) return { state: runs ? 'running' : 'none', out: null, progress };
    if (sign && have.sign !== sign) return { state: 'old', out: have.out, progress, runs: !!runs };
    const failed = have.out.code >= 2 && have.out.code !== 6;
    return {
      state: failed ? 'failed' : have.partial ? 'partial' : 'fresh',
      out: have.out,
      time: have.time,
      progress,
    };
  }

  // Runs at once and gives the result; for short commands whose answer is no screen's (parts, new).
  function ask(name, request) {
    press(name, request);
    return new Promise((resolve) => {
      const sign = JSON.stringify([request.args, request.files]);
      const seen = () => {
        const have = results.get(name);
        if (!have || have.sign !== sign) return;
        listeners.splice(listeners.indexOf(seen), 1);
        resolve(have.out);
      };
      listeners.push(seen);
      tell();
    });
  }

  // Ends the runs that go on; what they have found by then is kept, marked as partial. Nothing
  // begins in the background until `go`.
  function stop() {
    queue.length = 0;
    held = true;
    for (const mine of running()) {
      mine.stopped = true;
      mine.run.stop();
    }
    tell();
  }

  function go() {
    held = false;
    for (const [name, have] of results) if (have.partial) results.delete(name);
    tell();
  }

  // What a press asks for: it goes on although all was stopped.
  function press(name, request) {
    if (held) go();
    want(name, request);
  }

  function forget() {
    held = false;
    results.clear();
    queue.length = 0;
    running().forEach(drop);
    tell();
  }

  return {
    want,
    cancel,
    press,
    look,
    ask,
    stop,
    go,
    forget,
    busy: () =>
      running().map(({ name, progress }) => ({ name, progress }))[0],
    held: () => held,
    listen: (f) => listeners.push(f),
    follow: (f) => {
      progressed = f;
    },
  };
})();
