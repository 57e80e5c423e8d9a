// SPDX-License-Identifier: GPL-3.0-or-later
// The engine of the page as the development server offers it: the native program.
'use strict';

const engine = (() => {
  let runs = 0;

  async function result(id, { args, files = {} }, onProgress) {
    const response = await fetch('/run', { method: 'POST', body: JSON.stringify({ id, args, files }) });
    const reader = response.body.pipeThrough(new TextDecoderStream()).getReader();
    let text = '';
    for (;;) {
      const { done, value } = await reader.read();
      if (done) break;
      text += value;
      const lines = text.split('\n');
      text = lines.pop();
      for (const line of lines) {
        const message = JSON.parse(line);
        if (message.result) return message.result;
        onProgress(message.progress);
      }
    }
    throw new Error('the engine gave no result');
  }

  function run(request, onProgress = () => {}) {
    const id = ++runs;
    const going = result(id, request, onProgress);
    going.stop = () => fetch('/stop', { method: 'POST', body: JSON.stringify(id) });
    return going;
  }

  const shipped = fetch('/shipped').then((response) => response.json());

  return { run, shipped };
})();
