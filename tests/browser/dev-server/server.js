// SPDX-License-Identifier: GPL-3.0-or-later
// Serves the page of src/page with the native program behind it, for work on the screens without
// WebAssembly. usage: node server.js PRESOLDER LIBRARY.JS [PORT]
// It listens on this machine only and is no part of what is shipped.
'use strict';

const childProcess = require('child_process');
const fs = require('fs');
const http = require('http');
const os = require('os');
const path = require('path');

const root = path.resolve(__dirname, '../../..');
const source = path.join(root, 'src/page');

const TYPES = { '.html': 'text/html', '.css': 'text/css', '.js': 'text/javascript' };

function shipped() {
  const folder = path.join(root, 'scenarios');
  const files = fs.readdirSync(folder).filter((name) => name.endsWith('.yaml'));
  return Object.fromEntries(
    files.map((name) => [name, fs.readFileSync(path.join(folder, name), 'utf8')]),
  );
}

function body(request) {
  return new Promise((resolve) => {
    const parts = [];
    request.on('data', (part) => parts.push(part));
    request.on('end', () => resolve(Buffer.concat(parts).toString('utf8')));
  });
}

// All files below `folder` as { path: text }.
function collect(folder, below, files) {
  for (const entry of fs.readdirSync(path.join(folder, below), { withFileTypes: true })) {
    const name = path.posix.join(below, entry.name);
    if (entry.isDirectory()) collect(folder, name, files);
    else files[name] = fs.readFileSync(path.join(folder, name), 'utf8');
  }
  return files;
}

// A server that runs `program`; `library` is the script of the YAML reader.
function serve(program, library) {
  const going = new Map(); // children by the number of their run

  // One line of JSON a report of progress, the last line the result.
  async function run(request, response) {
    const { id, args, files } = JSON.parse(await body(request));
    const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'presolder-page-'));
    for (const [name, text] of Object.entries(files)) {
      const file = path.join(folder, path.normalize(`/${name}`));
      fs.mkdirSync(path.dirname(file), { recursive: true });
      fs.writeFileSync(file, text);
    }
    const began = Date.now();
    let stdout = '';
    let stderr = '';
    let tell = null;
    const child = childProcess.spawn(program, args, { cwd: folder });
    going.set(id, child);
    child.stdout.on('data', (d) => {
      stdout += d;
    });
    child.stderr.on('data', (d) => {
      stderr += d;
    });
    tell = setInterval(
      () =>
        response.write(
          `${JSON.stringify({ progress: { seconds: (Date.now() - began) / 1000 } })}\n`,
        ),
      500,
    );
    child.on('close', (code) => {
      clearInterval(tell);
      going.delete(id);
      const found = collect(folder, '', {});
      for (const name of Object.keys(files)) delete found[path.normalize(name)];
      fs.rmSync(folder, { recursive: true });
      response.end(`${JSON.stringify({ result: { code, stdout, stderr, files: found } })}\n`);
    });
  }

  return http.createServer(async (request, response) => {
    const name = request.url.split('?')[0];
    if (request.method === 'POST' && name === '/run') {
      await run(request, response);
    } else if (request.method === 'POST' && name === '/stop') {
      const child = going.get(JSON.parse(await body(request)));
      if (child) child.kill('SIGINT');
      response.end();
    } else if (name === '/shipped') {
      response.setHeader('Content-Type', 'application/json');
      response.end(JSON.stringify(shipped()));
    } else {
      const file =
        name === '/'
          ? path.join(source, 'page.html')
          : name === '/engine.js'
            ? path.join(__dirname, 'engine.js')
            : name === '/library.js'
              ? library
              : path.join(source, path.basename(name));
      if (!fs.existsSync(file)) {
        response.statusCode = 404;
        response.end();
        return;
      }
      response.setHeader('Content-Type', TYPES[path.extname(file)] || 'text/plain');
      response.setHeader('Cache-Control', 'no-store');
      let text = fs.readFileSync(file, 'utf8');
      if (file.endsWith('.html')) {
        text = text
          .replace('SCRIPTS', "'self'")
          .replace('STYLES', "'self'")
          .replace('worker-src', "connect-src 'self'; worker-src");
      }
      response.end(text);
    }
  });
}

if (require.main === module) {
  const [program, library, port] = process.argv.slice(2);
  const server = serve(path.resolve(program), path.resolve(library));
  server.listen(Number(port) || 0, '127.0.0.1', () =>
    console.log(`http://127.0.0.1:${server.address().port}/`),
  );
}

module.exports = { serve };
