// SPDX-License-Identifier: GPL-3.0-or-later
// In a worker, with the program before it: every run is a fresh instance of the module that the page
// has compiled, so nothing of one run is left for the next.
'use strict';

let program, data;

const folder = (path) => path.slice(0, path.lastIndexOf('/')) || '/';

function write(FS, files) {
  for (const [path, text] of Object.entries(files)) {
    FS.mkdirTree(folder(path));
    FS.writeFile(path, text);
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

async function run({ id, args, files, out }) {
  const text = { stdout: '', stderr: '' };
  let told = 0;
  const instance = await presolderProgram({
    instantiateWasm(imports, ready) {
      WebAssembly.instantiate(program, imports).then(ready);
      return {};
    },
    print: (line) => { text.stdout += `${line}\n`; },
    printErr: (line) => { text.stderr += `${line}\n`; },
    quit: (status, reason) => { throw reason; },
    progress(share) {
      const now = performance.now();
      if (now - told < 100) return;
      told = now;
      postMessage({ id, progress: share });
    },
  });
  const { FS } = instance;
  write(FS, data);
  FS.mkdirTree('/work');
  FS.chdir('/work');
  write(FS, files);
  let code;
  try {
    code = instance.callMain(args);
  } catch (reason) {
    if (reason.name !== 'ExitStatus') throw reason;
    code = reason.status;
  }
  return { code, ...text, files: readAll(FS, out, {}) };
}

onmessage = ({ data: message }) => {
  if (message.program) {
    ({ program, data } = message);
    return;
  }
  run(message).then(
    (result) => postMessage({ id: message.id, result }),
    (reason) => postMessage({ id: message.id, failed: String(reason && reason.message || reason) }),
  );
};
