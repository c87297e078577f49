// What the tests of the page share: a book, its page, TAP lines.
'use strict';
const { spawn, execFileSync } = require('node:child_process');
const fs = require('node:fs');
const os = require('node:os');
const path = require('node:path');

const root = path.resolve(__dirname, '../..');
const build = path.resolve(root, process.env.BUILD || 'build/gcc');
const fixtures = path.join(root, 'fixtures');
const made = [];

// Runs the command line on a book; what it printed.
function hanklab(book, ...args) {
  return execFileSync(path.join(build, 'hanklab'), args, {
    env: { ...process.env, HANKLAB_BOOK: book, LC_ALL: 'C.UTF-8' },
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'pipe'],
  });
}

function folder() {
  const dir = fs.mkdtempSync(path.join(os.tmpdir(), 'hanklab-page-'));
  made.push(dir);
  return dir;
}

// A new book, empty but for its usual card.
function newBook() {
  const book = path.join(folder(), 'book');
  hanklab(book, 'init', '--dyer', 'Weaving group');
  hanklab(book, 'card', 'add', 'kitchen grey card', '--lab', '49.6,-0.3,0.5',
    '--u', '0.5,0.3,0.3', '--source', 'stated', '--usual', 'yes');
  return book;
}

// The demo's book, made once for all tests that only look at it.
let demo;
function demoBook() {
  if (!demo) {
    const dir = folder();
    fs.symlinkSync(fixtures, path.join(dir, 'fixtures'));
    execFileSync('sh', ['fixtures/demo.sh'], {
      cwd: dir,
      env: { ...process.env, BUILD: build, HANKLAB_NO_PAGE: '1' },
      stdio: 'ignore',
    });
    demo = path.join(dir, 'demo-book');
  }
  return demo;
}

const servers = [];
// Starts the page of a book on a free port; its address and process.
function serve(book, ...words) {
  return new Promise((resolve, reject) => {
    const child = spawn(path.join(build, 'hanklab-serve'), [book, '0', ...words], {
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    let said = '';
    const look = (bytes) => {
      said += bytes;
      const found = /http:\/\/127\.0\.0\.1:(\d+)\//.exec(said);
      if (found)
        resolve({ url: found[0], port: +found[1], child, said: () => said });
    };
    child.stdout.on('data', look);
    child.stderr.on('data', look);
    child.on('exit', (code) => reject(new Error(`ended (${code}): ${said}`)));
    servers.push(child);
  });
}

let count = 0;
let failed = 0;
// One test; what it throws is why it failed.
async function test(name, body) {
  try {
    await body();
    count += 1;
    console.log(`ok ${count} - ${name}`);
  } catch (e) {
    count += 1;
    failed += 1;
    console.log(`not ok ${count} - ${name}`);
    console.log(String(e.stack || e).replace(/^/gm, '# '));
  }
}

async function end() {
  for (const child of servers) {
    child.removeAllListeners('exit');
    const gone = new Promise((resolve) => child.on('exit', resolve));
    if (child.exitCode === null && child.signalCode === null) {
      child.kill('SIGTERM');
      const code = await gone;
      if (code !== 0) {
        failed += 1;
        count += 1;
        console.log(`not ok ${count} - the server ends well (${code})`);
      }
    }
  }
  for (const dir of made) fs.rmSync(dir, { recursive: true, force: true });
  console.log(`1..${count}`);
  process.exit(failed ? 1 : 0);
}

module.exports = {
  build, demoBook, end, fixtures, folder, hanklab, newBook, root, serve, test,
};
