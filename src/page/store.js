// SPDX-License-Identifier: GPL-3.0-or-later
// The job on the bench: what was chosen, typed, read and changed; undo; what outlives a reload.
'use strict';

const store = (() => {
  const KEY = 'presolder job';
  const PAST = 'presolder past';
  const DEPTH = 200;
  const KEPT = 20; // steps of undo that outlive a reload
  const listeners = [];
  let past = [];
  const future = [];
  let keeps = null;
  let job = fresh();

  function fresh() {
    return {
      presolder: 1,
      bench: '',
      transformer: '',
      name: '',
      text: '',
      variant: '',
      meter: '10 Mohm',
      day: '1',
      lamp: '',
      readings: {},
      skipped: {},
      noticed: {},
      changes: [],
      shown: [],
      drafts: {},
      lesson: { level: '1', pupils: '12', seed: '1' },
    };
  }

  // localStorage may be missing or refused, above all on file://.
  function able() {
    if (keeps !== null) return keeps;
    try {
      localStorage.setItem(`${KEY} test`, 'x');
      localStorage.removeItem(`${KEY} test`);
      keeps = true;
    } catch (error) {
      keeps = false;
    }
    return keeps;
  }

  function keep() {
    if (!able()) return;
    try {
      localStorage.setItem(KEY, JSON.stringify(job));
    } catch (error) {
      keeps = false;
    }
  }

  function keepPast() {
    if (!able()) return;
    try {
      localStorage.setItem(PAST, JSON.stringify(past.slice(-KEPT)));
    } catch (error) {
      localStorage.removeItem(PAST); // the job itself goes first
    }
  }

  // What a file or a reload gave, with every field of the kind it must be; null where it is no job.
  function checked(given) {
    if (!given || typeof given !== 'object' || given.presolder !== 1) return null;
    const whole = fresh();
    for (const [name, value] of Object.entries(whole)) {
      const of = given[name];
      if (typeof of === typeof value && Array.isArray(of) === Array.isArray(value) && of !== null) {
        whole[name] = of;
      }
    }
    whole.changes = whole.changes.filter(
      (c) =>
        c && typeof c.part === 'string' && typeof c.key === 'string' && typeof c.to === 'string',
    );
    whole.shown = whole.shown.filter((name) => typeof name === 'string');
    whole.lesson = { ...fresh().lesson, ...whole.lesson };
    for (const name of ['readings', 'skipped', 'noticed', 'drafts', 'lesson']) {
      whole[name] = Object.fromEntries(
        Object.entries(whole[name]).filter(([, value]) => typeof value === 'string'),
      );
    }
    return whole;
  }

  function tell(quiet) {
    for (const listen of listeners) listen(quiet);
  }

  // Changes the job; `what` names it for undo. `quiet`: the screen keeps its fields as they are.
  function change(what, fields, quiet) {
    past.push({ what, job });
    if (past.length > DEPTH) past.shift();
    future.length = 0;
    job = { ...job, ...fields };
    keepPast();
    keep();
    tell(quiet);
  }

  // As change, but joined with the change before where that was of the same `what` (a slider).
  function slide(what, fields) {
    if (past.length && past[past.length - 1].what === what) {
      job = { ...job, ...fields };
      keep();
      tell(true);
    } else change(what, fields, true);
  }

  // What is being typed and not yet said: kept, no step of undo.
  function draft(id, text) {
    job = { ...job, drafts: { ...job.drafts, [id]: text } };
    keep();
  }

  function drop(id) {
    const drafts = { ...job.drafts };
    delete drafts[id];
    job = { ...job, drafts };
    keep();
  }

  function step(from, to, sentence) {
    const entry = from.pop();
    if (!entry) return;
    to.push({ what: entry.what, job });
    job = entry.job;
    keepPast();
    keep();
    tell(false);
    dom.say(sentence(entry.what));
  }

  function open(given, what) {
    change(what, { ...fresh(), ...given });
  }

  function start() {
    if (!able()) return;
    try {
      job = checked(JSON.parse(localStorage.getItem(KEY))) || job;
      past = JSON.parse(localStorage.getItem(PAST) || '[]')
        .map((step) => ({ what: String(step.what), job: checked(step.job) }))
        .filter((step) => step.job);
    } catch (error) {
      // what was kept is damaged: begin anew
    }
  }

  return {
    start,
    change,
    slide,
    draft,
    drop,
    open,
    checked,
    able,
    get: () => job,
    listen: (f) => listeners.push(f),
    undo: () => step(past, future, words.undone),
    redo: () => step(future, past, words.redone),
    undoable: () => (past.length ? past[past.length - 1].what : ''),
    redoable: () => (future.length ? future[future.length - 1].what : ''),
  };
})();
