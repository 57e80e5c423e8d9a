// SPDX-License-Identifier: GPL-3.0-or-later
// Runs of the engine, one at a time. What a screen wants is run once for each input; the result before
// stays, marked as old, until the next is there. Work in the background gives way to what was asked.
'use strict';

const work = (() => {
  const results = new Map();
  const listeners = [];
  const queue = [];
  let now = null;
  let told = false;
  let held = false;

  // Screens are told once for all that happens in one turn.
  function tell() {
    if (told) return;
    told = true;
    setTimeout(() => {
      told = false;
      for (const listen of listeners) listen();
    }, 0);
  }

  function next() {
    if (now || !queue.length) return;
    queue.sort((a, b) => a.background - b.background);
    now = queue.shift();
    const mine = now;
    const began = performance.now();
    tell();
    engine.run({ args: mine.args, files: mine.files }, (progress) => {
      mine.progress = progress;
      tell();
    }).catch((error) => ({ code: 4, stdout: '', stderr: String(error), files: {} }))
      .then((out) => {
        now = null;
        if (mine.again) queue.push({ ...mine, again: false, dropped: false, progress: null });
        else if (!mine.dropped) {
          results.set(mine.name, { sign: mine.sign, out, time: performance.now() - began,
            partial: mine.stopped || out.code === 6 });
        }
        next();
        tell();
      });
  }

  function halt() {
    engine.stop();
  }

  // Asks for a result by name; nothing happens where it is there or on its way. `request`: args,
  // files, background.
  function want(name, request) {
    const sign = JSON.stringify([request.args, request.files]);
    const have = results.get(name);
    if (have && have.sign === sign) return;
    if (held && request.background) return;
    const waiting = queue.findIndex((q) => q.name === name);
    if (waiting >= 0) {
      if (queue[waiting].sign === sign) return;
      queue.splice(waiting, 1);
    }
    if (now && now.name === name) {
      if (now.sign === sign && !now.dropped) return;
      if (now.background) {
        now.dropped = true;
        now.again = false;
        halt();
      }
    } else if (now && now.background && !request.background && !now.again && !now.dropped) {
      now.again = true;
      halt();
    }
    queue.push({ background: false, ...request, name, sign });
    next();
    tell();
  }

  // { state, out, progress, time }: state is none, running (nothing before), old (the one before
  // stays while the new one runs), fresh, partial (stopped) or failed.
  function look(name, request) {
    const sign = request && JSON.stringify([request.args, request.files]);
    const have = results.get(name);
    const runs = now && now.name === name && !now.dropped ? now : queue.find((q) => q.name === name);
    const progress = runs ? runs.progress : null;
    if (!have) return { state: runs ? 'running' : 'none', out: null, progress };
    if (sign && have.sign !== sign) return { state: 'old', out: have.out, progress, runs: !!runs };
    const failed = have.out.code >= 2 && have.out.code !== 6;
    return { state: failed ? 'failed' : have.partial ? 'partial' : 'fresh', out: have.out,
      time: have.time, progress };
  }

  // Runs at once and gives the result; for short commands whose answer is no screen's (parts, new).
  function ask(name, request) {
    want(name, request);
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

  // Ends the run that goes on; what it has found by then is kept, marked as partial. Nothing begins
  // in the background until `go`.
  function stop() {
    queue.length = 0;
    held = true;
    if (!now) return;
    now.stopped = true;
    now.again = false;
    halt();
    tell();
  }

  function go() {
    held = false;
    for (const [name, have] of results) if (have.partial) results.delete(name);
    tell();
  }

  function forget() {
    held = false;
    results.clear();
    queue.length = 0;
    if (now) {
      now.dropped = true;
      now.again = false;
      halt();
    }
    tell();
  }

  return {
    want, look, ask, stop, go, forget,
    busy: () => now && { name: now.name, background: now.background, progress: now.progress },
    held: () => held,
    listen: (f) => listeners.push(f),
  };
})();
