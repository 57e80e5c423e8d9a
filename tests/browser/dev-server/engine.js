// SPDX-License-Identifier: GPL-3.0-or-later
// The engine of the page as the development server offers it: the native program, one run at a time.
'use strict';

const engine = (() => {
  async function run({ args, files = {} }, onProgress = () => {}) {
    const response = await fetch('/run', { method: 'POST', body: JSON.stringify({ args, files }) });
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

  function stop() {
    return fetch('/stop', { method: 'POST' });
  }

  const shipped = fetch('/shipped').then((response) => response.json());

  return { run, stop, shipped };
})();
