// SPDX-License-Identifier: GPL-3.0-or-later
// The program in the page: `engine.run` makes one run of it, as the command line would. Runs of one
// lane wait for each other; lanes go on side by side, each in a worker of its own.
'use strict';

const engine = (() => {
  const own = JSON.parse(document.getElementById('engine-data').textContent);
  const workerUrl = URL.createObjectURL(new Blob([own.worker], { type: 'text/javascript' }));
  const STOPPED = { code: 6, stdout: '', stderr: '', files: {} }; // of a run without any result
  const PATIENCE = 3000; // [ms] for a run to end by itself, once it is to stop
  const lanes = {};
  let runs = 0;

  function bytesOf(base64) {
    const text = atob(base64);
    const bytes = new Uint8Array(text.length);
    for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
    return bytes;
  }
  const compiled = WebAssembly.compile(fflate.gunzipSync(bytesOf(own.wasm)));
  own.wasm = null;

  function begin(lane) {
    const worker = new Worker(workerUrl);
    worker.onmessage = ({ data }) => {
      const job = lane.jobs[0];
      if (!job || job.message.id !== data.id) return;
      if ('progress' in data) job.progress(data.progress);
      else end(lane, data);
    };
    worker.onerror = (event) => {
      event.preventDefault();
      if (lane.jobs[0]) end(lane, { failed: event.message || 'the program could not be started' });
    };
    lane.worker = worker;
    lane.ready = compiled.then((program) => worker.postMessage({ program, data: own.data }));
  }

  function next(lane) {
    const job = lane.jobs[0];
    if (!job) return;
    lane.ready.then(() => {
      if (lane.jobs[0] === job) lane.worker.postMessage(job.message);
    }, (reason) => end(lane, { failed: reason.message }));
  }

  // A worker whose program has failed is not used again.
  function end(lane, { result, failed }) {
    const job = lane.jobs.shift();
    clearTimeout(job.timer);
    if (result) job.good(result);
    else job.bad(new Error(failed));
    if (!result) renew(lane);
    next(lane);
  }

  function renew(lane) {
    lane.worker.terminate();
    begin(lane);
  }

  // With `drop` nobody wants its result: it ends at once. Else it ends as on Ctrl-C, with what it has
  // found so far.
  function stop(lane, job, drop) {
    const at = lane.jobs.indexOf(job);
    if (at < 0) return;
    const cut = () => {
      renew(lane);
      end(lane, { result: STOPPED });
    };
    if (at > 0) {
      lane.jobs.splice(at, 1);
      job.good(STOPPED);
    } else if (drop) {
      cut();
    } else if (!job.timer) {
      job.timer = setTimeout(cut, PATIENCE);
      lane.worker.postMessage({ stop: job.message.id });
    }
  }

  // args: words after `presolder`; files: texts by path, laid before the run (relative paths are
  // best); out: the folder whose files are wanted. `progress` is called with the share done. Gives a
  // promise of { code, stdout, stderr, files, times: { begin, run } in ms }, with `stop(drop)`. It
  // fails only where the program itself does, for instance for want of memory.
  function run({ args, files = {}, out = 'out', lane: name = 'main' }, progress = () => {}) {
    const lane = lanes[name] || (lanes[name] = { jobs: [] });
    if (!lane.worker) begin(lane);
    const job = { progress, message: { id: ++runs, args, files, out } };
    const result = new Promise((good, bad) => Object.assign(job, { good, bad }));
    result.stop = (drop) => stop(lane, job, drop);
    lane.jobs.push(job);
    if (lane.jobs.length === 1) next(lane);
    return result;
  }

  // Shipped scenarios by file name.
  const shipped = {};
  for (const [path, text] of Object.entries(own.data)) {
    const name = /^\/presolder\/scenarios\/([^/]+)$/.exec(path);
    if (name) shipped[name[1]] = text;
  }

  return { run, shipped, places: own.places, source: () => bytesOf(own.source) };
})();
