// A shared book with twenty devices at once, one of them uploading all the time,
// for HANKLAB_TEST_SECONDS ("make load": ten minutes): nobody is refused, nothing
// acknowledged is lost, the server's memory stays. Then it is ended while they
// go on.
'use strict';
const assert = require('node:assert');
const fs = require('node:fs');
const http = require('node:http');
const path = require('node:path');
const { setTimeout: pause } = require('node:timers/promises');
const { ask, form, share, letIn, why } = require('./ask');
const h = require('./harness');

const DEVICES = 20;
const seconds = Number(process.env.HANKLAB_TEST_SECONDS || 5);
const thinks = 400; // ms between what one device asks for, on average
const grows = 8 << 10; // KiB that memory may, once each page was asked for

const looked = ['/', '/skein/1', '/skein/2', '/log', '/measure', '/measure/1', '/find?q=madder',
  '/find?lab=40,30,20', '/grid', '/fade?bath=1', '/history', '/cupboard', '/photo/1',
  '/photo/1/480', '/bath/1', '/compare?skein=1&skein=2', '/reckon', '/print', '/more'];

const resident = (pid) => Number(/^VmRSS:\s+(\d+) kB/m
  .exec(fs.readFileSync(`/proc/${pid}/status`, 'utf8'))[1]);
const mib = (kib) => `${(kib / 1024).toFixed(1)} MiB`;
const mark = async (page) => /name="token" value="([^"]+)"/
  .exec((await ask(page, 'GET', '/log')).body)[1];

// The same picture in other bytes: a comment behind the first marker.
const picture = fs.readFileSync(path.join(h.fixtures, 'weld-alum.jpg'));
function photo(words) {
  const comment = Buffer.from(`\xff\xfe\0\0${words}`, 'latin1');
  comment.writeUInt16BE(comment.length - 2, 2);
  return Buffer.concat([picture.subarray(0, 2), comment, picture.subarray(2)]);
}

const upload = (token, bytes) => ({
  headers: { 'Content-Type': 'multipart/form-data; boundary=xyz' },
  body: Buffer.concat([
    Buffer.from(`--xyz\r\nContent-Disposition: form-data; name="token"\r\n\r\n${token}\r\n`
      + '--xyz\r\nContent-Disposition: form-data; name="photo"; filename="a.jpg"\r\n'
      + 'Content-Type: image/jpeg\r\n\r\n'),
    bytes, Buffer.from('\r\n--xyz--\r\n')]),
});

// What the devices did: pots and photos that were acknowledged, times in ms.
const done = { pots: [], photos: 0, times: [] };

async function timed(device, method, where, what) {
  const began = process.hrtime.bigint();
  const a = await ask(device, method, where, what);
  done.times.push(Number(process.hrtime.bigint() - began) / 1e6);
  return a;
}

async function savePot(device, name) {
  const a = await timed(device, 'POST', '/log',
    form({ token: device.token, do: 'save', name, dyestuff: 'madder: 60 %', 's-weight': '20 g' }));
  assert.strictEqual(a.status, 303, why(a.body));
  done.pots.push(name);
}

async function sendPhoto(device, words) {
  const a = await timed(device, 'POST', '/photo', upload(device.token, photo(words)));
  assert.strictEqual(a.status, 303, why(a.body));
  done.photos += 1;
  const seen = await timed(device, 'GET', a.headers.location);
  assert.strictEqual(seen.status, 200, why(seen.body));
}

async function lookAt(device, where) {
  const a = await timed(device, 'GET', where);
  assert.strictEqual(a.status, 200, `${where}: ${why(a.body)}`);
}

// One device until then; every tenth time it saves something.
async function use(device, number, until) {
  for (let n = number; Date.now() < until; n += 1) {
    if (number === 0) {
      await sendPhoto(device, `photo ${n}`);
    } else {
      await pause(thinks * 2 * Math.random());
      if (n % 10 === 0) await savePot(device, `pot ${number}.${n}`);
      else await lookAt(device, looked[n % looked.length]);
    }
  }
}

// Everything acknowledged is in the book, which is sound.
function assertKept(book) {
  const names = new Set(JSON.parse(h.hanklab(book, 'list', 'baths', '--limit', '0', '--json'))
    .map((b) => b.name));
  assert.deepStrictEqual(done.pots.filter((name) => !names.has(name)), [], 'pots are lost');
  const { photos, faults, told } = JSON.parse(h.hanklab(book, 'check', '--json'));
  assert.strictEqual(faults, 0, told);
  assert.ok(photos > done.photos, 'the first one too');
}

(async () => {
  const book = h.newBook();
  h.hanklab(book, 'log', 'first', '--dyestuff', 'madder: 60 %', '--fibre', 'thin singles',
    '--skeins', '4');
  h.hanklab(book, 'photo', 'add', path.join(h.fixtures, 'weld-alum.jpg'), '--skein', '1');
  const page = await share(book);
  const devices = [];

  await h.test('twenty devices are let in', async () => {
    for (let i = 0; i < DEVICES; i += 1) {
      const device = await letIn(book, page, `device ${i}`);
      device.token = await mark(device);
      devices.push(device);
    }
  });

  await h.test(`they use the book for ${seconds} s, and none is refused`, async () => {
    for (const where of looked) await lookAt(devices[1], where);
    await sendPhoto(devices[0], 'before');
    done.times = [];
    const { pid } = page.child;
    const memory = [resident(pid)];
    const half = setTimeout(() => memory.push(resident(pid)), seconds * 500);
    const until = Date.now() + seconds * 1000;
    const ends = await Promise.allSettled(devices.map((d, i) => use(d, i, until)));
    clearTimeout(half);
    memory.push(resident(pid));
    const times = done.times.sort((a, b) => a - b);
    const at = (part) => times[Math.floor(part * (times.length - 1))].toFixed(0);
    console.log(`#   load: ${DEVICES} devices, ${seconds} s, ${times.length} requests, `
      + `${done.photos} photos, ${done.pots.length} pots; ms half ${at(0.5)}, `
      + `95 % ${at(0.95)}, most ${at(1)}`);
    console.log(`#   load: memory at the start ${mib(memory[0])}, half way ${mib(memory[1])}, `
      + `at the end ${mib(memory.at(-1))}`);
    for (const e of ends) if (e.reason) throw e.reason;
    assert.ok(done.photos > 1 && done.pots.length > 1 && times.length > DEVICES);
    // A sanitizer keeps what was freed for a while.
    if (!h.build.includes('address'))
      assert.ok(memory.at(-1) < memory[0] + grows, 'memory stays');
    assertKept(book);
  });

  // A form of which a half has come is waited for. Whatever was answered is in the book; what was not may be or not.
  await h.test('ended while they go on, it keeps what it acknowledged', async () => {
    const { child } = page;
    const before = done.pots.length;
    child.removeAllListeners('exit');
    const gone = new Promise((resolve) => child.on('exit', resolve));
    const { headers, body } = form({ token: devices[1].token, do: 'save', name: 'half sent' });
    const slow = http.request({ host: page.host, port: page.port, method: 'POST', path: '/log',
      headers: { ...headers, 'Content-Length': body.length, Cookie: devices[1].cookie } });
    const answered = new Promise((resolve, reject) => {
      slow.on('response', resolve);
      slow.on('error', reject);
    });
    slow.write(body.slice(0, 40));
    let refused = 0;
    const saving = devices.map(async (device, i) => {
      for (let n = 0; ; n += 1) {
        try {
          if (i === 0) await sendPhoto(device, `late ${n}`);
          else await savePot(device, `late ${i}.${n}`);
        } catch (e) {
          if (!['ECONNREFUSED', 'ECONNRESET'].includes(e.code)) throw e;
          refused += 1;
          return;
        }
      }
    });
    while (done.pots.length < before + DEVICES) await pause(5);
    child.kill('SIGTERM');
    await Promise.all(saving);
    slow.end(body.slice(40));
    assert.strictEqual((await answered).statusCode, 303);
    done.pots.push('half sent');
    assert.strictEqual(await gone, 0);
    assert.strictEqual(refused, DEVICES);
    assertKept(book);
  });
  await h.end();
})();
