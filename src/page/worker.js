// SPDX-License-Identifier: GPL-3.0-or-later
// In a worker, with the program before it: every run is a fresh instance of the module that the page
// has compiled, so nothing of one run is left for the next.
'use strict';

const LOOK = 50; // [ms] between looks at what has come in, and between reports of progress
const HERE = '/work'; // where relative paths begin

let program, data;
let stopped = 0; // the run that is to end

// Lets in what has come, then goes on: by a message, since timers that call for timers wait 4 ms.
const turn = new MessageChannel();
let next = null;
turn.port1.onmessage = () => next();

function letIn(then) {
  next = then;
  turn.port2.postMessage(null);
}

// Each file is younger than the one before: the program asks which of two is.
function write(FS, files) {
  let time = 0; // [ms]
  for (const [path, text] of Object.entries(files)) {
    const whole = path.startsWith('/') ? path : `${HERE}/${path}`;
    FS.mkdirTree(whole.slice(0, whole.lastIndexOf('/')));
    FS.writeFile(whole, text);
    FS.utime(whole, time, time);
    time += 1000;
  }
}

function readAll(FS, path, files) {
  if (!FS.analyzePath(path).exists) return files;
  for (const name of FS.readdir(path)) {
    if (name === '.' || name === '..') continue;
    const inner = `${path}/${name}`;
    if (FS.isDir(FS.stat(inner).mode)) readAll(FS, inner, files);
    else files[inner] = FS.readFile(inner, { encoding: 'utf8' });
  }
  return files;
}

// The bytes that come on a stream, as text.
function gather() {
  const bytes = [];
  return {
    put: (byte) => { if (byte !== null) bytes.push(byte & 0xff); },
    text: () => new TextDecoder().decode(new Uint8Array(bytes)),
  };
}

async function run({ id, args, files, out }) {
  const stdout = gather();
  const stderr = gather();
  const began = performance.now();
  let looked = began;
  let told = began;
  const instance = await presolderProgram({
    instantiateWasm(imports, ready) {
      WebAssembly.instantiate(program, imports).then(ready);
      return {};
    },
    stdin: () => null,
    stdout: stdout.put,
    stderr: stderr.put,
    mayWait() {
      const now = performance.now();
      if (now - looked < LOOK) return false;
      looked = now;
      return true;
    },
    isStopped: () => stopped === id,
    letIn,
    progress(share) {
      const now = performance.now();
      if (now - told < LOOK) return;
      told = now;
      postMessage({ id, progress: share });
    },
  });
  const { FS, HEAP32, ccall, stackAlloc, allocateUTF8OnStack } = instance;
  write(FS, data);
  FS.mkdirTree(HERE);
  FS.chdir(HERE);
  write(FS, files);
  const words = ['presolder', ...args];
  const at = stackAlloc(4 * (words.length + 1)) >> 2;
  words.forEach((word, i) => { HEAP32[at + i] = allocateUTF8OnStack(word); });
  HEAP32[at + words.length] = 0;
  const ready = performance.now();
  const code = await ccall('main', 'number', ['number', 'number'], [words.length, 4 * at], { async: true });
  const times = { begin: ready - began, run: performance.now() - ready };
  return { code, stdout: stdout.text(), stderr: stderr.text(), files: readAll(FS, out, {}), times };
}

onmessage = ({ data: message }) => {
  if (message.program) {
    ({ program, data } = message);
  } else if (message.stop) {
    stopped = message.stop;
  } else {
    run(message).then(
      (result) => postMessage({ id: message.id, result }),
      (reason) => postMessage({ id: message.id, failed: String((reason && reason.message) || reason) }),
    );
  }
};
