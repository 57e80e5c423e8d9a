// SPDX-License-Identifier: GPL-3.0-or-later
// The program in the page. `engine.run` makes one run of it, as the command line would.
'use strict';

const engine = (() => {
  const own = JSON.parse(document.getElementById('engine-data').textContent);
  const workerUrl = URL.createObjectURL(new Blob([own.worker], { type: 'text/javascript' }));
  const STOPPED = 6; // exit code of an interrupted run
  const lanes = {};
  let runs = 0;

  function bytesOf(base64) {
    const text = atob(base64);
    const bytes = new Uint8Array(text.length);
    for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
    return bytes;
  }
  const compiled = WebAssembly.compile(bytesOf(own.wasm));
  own.wasm = null;

  function begin(lane) {
    lane.worker = new Worker(workerUrl);
    lane.worker.onmessage = ({ data }) => {
      const job = lane.jobs[0];
      if (!job || job.id !== data.id) return;
      if ('progress' in data) job.progress(data.progress);
      else end(lane, data.result || { failed: data.failed });
    };
    lane.worker.onerror = (e) => {
      e.preventDefault();
      if (lane.jobs[0]) end(lane, { failed: e.message || 'the program could not be started' });
    };
    return compiled.then((program) => lane.worker.postMessage({ program, data: own.data }));
  }

  function end(lane, result) {
    const job = lane.jobs.shift();
    if ('failed' in result) job.bad(new Error(result.failed));
    else job.good(result);
    next(lane);
  }

  function next(lane) {
    const job = lane.jobs[0];
    if (!job) return;
    lane.ready.then(() => {
      if (lane.jobs[0] === job) lane.worker.postMessage(job.message);
    }, (reason) => end(lane, { failed: reason.message }));
  }

  function stop(lane, job) {
    const at = lane.jobs.indexOf(job);
    if (at < 0) return;
    if (at === 0) {
      lane.worker.terminate();
      lane.ready = begin(lane);
      end(lane, { code: STOPPED, stdout: '', stderr: '', files: {} });
    } else {
      lane.jobs.splice(at, 1);
      job.good({ code: STOPPED, stdout: '', stderr: '', files: {} });
    }
  }

  // { args: ['try', '/work/set.yaml', ...], files: { '/work/set.yaml': text }, out: '/out',
  //   lane: 'quick', progress: (share) => {} }: a promise of { code, stdout, stderr, files }, the
  // files of `out` by their paths, with a function `stop`. Runs of one lane wait for each other;
  // those of different lanes go on side by side, each in a worker of its own. It fails only where
  // the program itself does (no memory left, for instance).
  function run({ args, files = {}, out = '/out', lane: name = 'main', progress = () => {} }) {
    const lane = lanes[name] || (lanes[name] = { jobs: [] });
    if (!lane.worker) lane.ready = begin(lane);
    const job = { id: ++runs, progress, message: { id: runs, args, files, out } };
    const result = new Promise((good, bad) => Object.assign(job, { good, bad }));
    result.stop = () => stop(lane, job);
    lane.jobs.push(job);
    if (lane.jobs.length === 1) next(lane);
    return result;
  }

  // `data`: models, scenarios and templates by their paths under /presolder.
  return { run, data: own.data };
})();
