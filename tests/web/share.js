// A shared book: who is let in and who is not. The list of what is tried is
// OWASP's Web Security Testing Guide, chapters 4.4 to 4.7 and 4.10, where it
// fits a page without passwords: brute force, session fixation and cookies,
// forms sent by another site, injected headers and scripts, paths, replays,
// and a name made to mean this machine (DNS rebinding).
'use strict';
const assert = require('node:assert');
const fs = require('node:fs');
const net = require('node:net');
const path = require('node:path');
const { setTimeout: pause } = require('node:timers/promises');
const { ask, form, share, letIn, codeOf } = require('./ask');
const h = require('./harness');

const text = (body) => /class="why"[^>]*>([^<]*)</.exec(body)?.[1] ?? '';
const devices = (book) => JSON.parse(h.hanklab(book, 'device', 'list', '--json'));

// The waits after a wrong code, and its end, without waiting for them.
function turn(book, change) {
  const file = path.join(book, 'devices');
  const now = fs.readFileSync(file, 'utf8');
  const next = now.replace(/^code\t.*$/m, (line) => change(line.split('\t')).join('\t'));
  assert.notStrictEqual(next, now);
  fs.writeFileSync(file, next);
}
const noWait = (book) => turn(book, (word) => [...word.slice(0, 4), '0']);

(async () => {
  const book = h.newBook();
  h.hanklab(book, 'log', 'madder', '--skeins', '2');
  h.hanklab(book, 'photo', 'add', path.join(h.fixtures, 'weld-alum.jpg'), '--skein', '1');
  const page = await share(book);
  const home = { port: page.port };
  const acts = () => JSON.parse(h.hanklab(book, 'history', '--json'));
  const before = JSON.stringify(acts());
  const unchanged = () => assert.strictEqual(JSON.stringify(acts()), before);
  const tryCode = (code, more = {}) => ask(page, 'POST', '/pair', form({ code, ...more }));

  await h.test('unless it is shared, only this machine is answered', async () => {
    const alone = await h.serve(h.newBook());
    await assert.rejects(ask({ port: alone.port, host: '127.0.0.2' }, 'GET', '/'),
      { code: 'ECONNREFUSED' });
  });

  await h.test('this machine needs no code while it is shared', async () => {
    const { status, body } = await ask(home, 'GET', '/');
    assert.strictEqual(status, 200);
    assert.match(body, /madder/);
    const { body: told } = await ask(home, 'GET', '/devices');
    assert.ok(told.includes(page.url), 'says where');
    assert.match(told, /<svg class="qr"/);
    const code = codeOf(book);
    assert.match(told, new RegExp(`${code.slice(0, 3)}</span> <span>${code.slice(3)}`));
  });

  await h.test('a stranger gets one page, and nothing of the book', async () => {
    const routes = fs.readFileSync(path.join(h.root, 'src/web/routes.c'), 'utf8');
    const rows = [...routes.matchAll(/^\s+\{"(\/[^"]*)", (\w+), (\w+), ([^}]*)\}/gm)];
    assert.ok(rows.length > 30, 'the table was found');
    for (const [, where, get, post, flags] of rows) {
      if (/OPEN/.test(flags)) continue;
      const there = /MORE/.test(flags) ? `${where}1` : where;
      if (get !== 'NULL') {
        const a = await ask(page, 'GET', there);
        assert.strictEqual(a.status, 303, there);
        assert.strictEqual(a.headers.location, '/pair', there);
        assert.strictEqual(a.body, '', there);
      }
      if (post !== 'NULL') {
        const a = await ask(page, 'POST', there, form({ name: 'never', act: '1' }));
        assert.strictEqual(a.status, 403, there);
      }
    }
    const { status, body } = await ask(page, 'GET', '/pair');
    assert.strictEqual(status, 200);
    assert.doesNotMatch(body, /token|madder|Weaving|href="\/skein|nav/);
    assert.ok(!body.includes(codeOf(book)));
    assert.strictEqual((await ask(page, 'GET', '/no-such')).headers.location, '/pair');
    unchanged();
  });

  await h.test('a stranger can send no more than a code and a name', async () => {
    const big = await tryCode('1'.repeat(5000));
    assert.strictEqual(big.status, 413);
    const file = await ask(page, 'POST', '/pair', {
      headers: { 'Content-Type': 'multipart/form-data; boundary=xyz' },
      body: '--xyz\r\nContent-Disposition: form-data; name="f"; filename="a"\r\n\r\n'
        + `${'A'.repeat(3000)}\r\n--xyz--\r\n`,
    });
    assert.strictEqual(file.status, 400);
    const chunked = await ask(page, 'POST', '/pair', {
      headers: { 'Content-Type': 'application/x-www-form-urlencoded', 'Transfer-Encoding': 'chunked' },
      body: `code=${'1'.repeat(9000)}`,
    });
    assert.strictEqual(chunked.status, 413);
    assert.deepStrictEqual(fs.readdirSync(path.join(book, 'cache'))
      .filter((f) => f.startsWith('arriving')), []);
  });

  await h.test('wrong codes are slowed down, the right one too', async () => {
    h.hanklab(book, 'device', 'add');
    const right = codeOf(book);
    const wrong = right === '000000' ? '000001' : '000000';
    const first = await tryCode(wrong);
    assert.strictEqual(first.status, 400);
    assert.match(text(first.body), /not the one/);
    const soon = await tryCode(right);
    assert.strictEqual(soon.status, 429);
    assert.match(text(soon.body), /wait 1 seconds/);
    assert.ok(!soon.headers['set-cookie']);
    for (const seconds of [2, 4, 8]) {
      noWait(book);
      assert.strictEqual((await tryCode(wrong)).status, 400);
      const { status, body } = await tryCode(wrong);
      assert.strictEqual(status, 429);
      assert.match(text(body), new RegExp(`wait ${seconds} seconds`));
    }
    noWait(book);
    assert.match(text((await tryCode(wrong)).body), /wrong 5 times/);
    noWait(book);
    assert.match(text((await tryCode(right)).body), /none is good just now/);
    assert.deepStrictEqual(devices(book), []);
  });

  await h.test('a code that is too old lets nobody in', async () => {
    h.hanklab(book, 'device', 'add');
    turn(book, (word) => [...word.slice(0, 2), String(Date.now() - 1), '0', '0']);
    assert.match(text((await tryCode(codeOf(book))).body), /none is good/);
    // As after a clock that was put back by a day.
    turn(book, (word) => [...word.slice(0, 2), String(Date.now() + 86400000), '0', '0']);
    assert.match(text((await tryCode(codeOf(book))).body), /none is good/);
    assert.deepStrictEqual(devices(book), []);
  });

  let phone;
  await h.test('a device is let in once, and keeps what nobody can read', async () => {
    h.hanklab(book, 'device', 'add');
    const code = codeOf(book);
    const a = await tryCode(`${code.slice(0, 3)} ${code.slice(3)}`, { name: 'kitchen phone' });
    assert.strictEqual(a.status, 303, text(a.body));
    const [cookie, ...kept] = a.headers['set-cookie'][0].split('; ');
    assert.match(cookie, /^hanklab-\d+=[0-9a-f]{64}$/);
    assert.deepStrictEqual(kept.sort(), ['HttpOnly', 'Max-Age=31536000', 'Path=/', 'SameSite=Strict']);
    phone = { ...page, cookie };
    assert.match((await ask(phone, 'GET', '/')).body, /madder/);
    const file = fs.readFileSync(path.join(book, 'devices'), 'utf8');
    assert.ok(!file.includes(cookie.split('=')[1]), 'only its hash is kept');
    assert.strictEqual(fs.statSync(path.join(book, 'devices')).mode & 0o777, 0o600);
    // The same code again: replayed.
    const again = await tryCode(code, { name: 'another' });
    assert.strictEqual(again.status, 400);
    assert.ok(!again.headers['set-cookie']);
    assert.deepStrictEqual(devices(book).map((d) => d.name), ['kitchen phone']);
  });

  const mark = async (who) => /name="token" value="([0-9a-f]{32})"/
    .exec((await ask(who, 'GET', '/log')).body)[1];

  await h.test('the history says which device did it', async () => {
    const a = await ask(phone, 'POST', '/log',
      form({ token: await mark(phone), do: 'save', name: 'by the phone' }));
    assert.strictEqual(a.status, 303, text(a.body));
    assert.strictEqual(acts()[0].device, 'kitchen phone');
    assert.match((await ask(home, 'GET', '/history')).body, /by the phone[^]*?kitchen phone/);
    const b = await ask(home, 'POST', '/log',
      form({ token: await mark(home), do: 'save', name: 'at home' }));
    assert.strictEqual(b.status, 303, text(b.body));
    assert.strictEqual(acts()[0].device, 'page');
    h.hanklab(book, 'log', 'by hand');
    assert.strictEqual(acts()[0].device, null);
  });

  await h.test('a token is made anew for each device, whatever it brought', async () => {
    const planted = `hanklab-${page.port}=${'ab'.repeat(32)}`;
    assert.strictEqual((await ask({ ...page, cookie: planted }, 'GET', '/')).status, 303);
    h.hanklab(book, 'device', 'add');
    const a = await ask({ ...page, cookie: planted }, 'POST', '/pair', form({ code: codeOf(book) }));
    const [own] = a.headers['set-cookie'][0].split('; ');
    assert.notStrictEqual(own, planted);
    assert.strictEqual((await ask({ ...page, cookie: planted }, 'GET', '/')).status, 303);
    assert.strictEqual((await ask({ ...page, cookie: own }, 'GET', '/')).status, 200);
    assert.strictEqual(devices(book)[1].name, 'device 2');
    for (const bad of ['', 'x', own.slice(0, -1), `${own}0`, own.toUpperCase(), `${own.split('=')[0]}=-`])
      assert.strictEqual((await ask({ ...page, cookie: bad }, 'GET', '/')).status, 303, bad);
  });

  await h.test('a form that another site, device or page made changes nothing', async () => {
    const tablet = await letIn(book, page, 'tablet');
    const count = acts().length;
    const own = await mark(phone);
    for (const token of [undefined, await mark(home), await mark(tablet)]) {
      const fields = { do: 'save', name: 'never' };
      const a = await ask(phone, 'POST', '/log', form(token ? { ...fields, token } : fields));
      assert.strictEqual(a.status, 400);
      assert.match(text(a.body), /mark/);
    }
    for (const Origin of ['http://evil.example', 'null', `http://127.0.0.1:${page.port}`,
      `http://${page.host}`, `https://${page.host}:${page.port}`]) {
      const f = form({ token: own, do: 'save', name: 'never' });
      f.headers.Origin = Origin;
      assert.strictEqual((await ask(phone, 'POST', '/log', f)).status, 400, Origin);
    }
    const f = form({ token: own, do: 'save', name: 'its own' });
    f.headers.Origin = `http://${page.host}:${page.port}`;
    assert.strictEqual((await ask(phone, 'POST', '/log', f)).status, 303);
    assert.strictEqual(acts().length, count + 1);
    assert.strictEqual((await ask(phone, 'GET', '/undo')).status, 404, 'no act by a link');
  });

  await h.test('a name that is made to mean this machine is refused', async () => {
    for (const Host of ['evil.example', `evil.example:${page.port}`, page.host,
      `127.0.0.1:${page.port}`, `localhost:${page.port}`, `${page.host}:${page.port + 1}`,
      `${page.host}:${page.port}.evil.example`]) {
      const a = await ask(phone, 'GET', '/', { headers: { Host } });
      assert.strictEqual(a.status, 400, Host);
      assert.doesNotMatch(a.body, /madder/);
    }
    const there = `${page.host}:${page.port}`;
    assert.strictEqual((await ask(home, 'GET', '/', { headers: { Host: there } })).status,
      400, 'nor is a stranger at home by its Host');
  });

  await h.test('what names folders of this machine is not for devices', async () => {
    const token = await mark(phone);
    const to = path.join(h.folder(), 'copy');
    for (const [method, where, body] of [['GET', '/copies'], ['POST', '/copies', form({ token, to })],
      ['POST', '/devices/new', form({ token })], ['POST', '/devices/revoke', form({ token, device: '2' })],
      ['POST', '/devices/name', form({ token, device: '2', name: 'x' })]]) {
      const a = await ask(phone, method, where, body);
      assert.strictEqual(a.status, 403, where);
      assert.match(text(a.body), /only on the machine/);
    }
    assert.ok(!fs.existsSync(to));
    assert.doesNotMatch((await ask(phone, 'GET', '/more')).body, /copies/);
    const { body } = await ask(phone, 'GET', '/devices');
    assert.match(body, /called <b>kitchen phone/);
    assert.doesNotMatch(body, /tablet|class="code|class="qr/);
    for (const where of ['/', '/more', '/history', '/photo/1', '/skein/1'])
      assert.ok(!(await ask(phone, 'GET', where)).body.includes(book), where);
  });

  await h.test('no path leads a device out of the pages', async () => {
    for (const where of ['/../book.db', '/a/../../devices', '/photo/../devices',
      '/photo/%2e%2e%2fdevices', '/%2e%2e/devices', '/devices.lock', '/a/../devices',
      '//etc/passwd', '/photo/1/../../book.db', '/a/00000000/../../book.db']) {
      const a = await ask(phone, 'GET', where);
      assert.ok(a.status >= 400 && a.status < 500, `${where}: ${a.status}`);
      assert.doesNotMatch(a.body, /SQLite|root:|hanklab devices 1/);
    }
  });

  await h.test('a name is text on every page, and one line', async () => {
    const bad = '"><script>alert(1)</script>';
    const odd = await letIn(book, page, bad);
    await ask(odd, 'POST', '/log', form({ token: await mark(odd), do: 'save', name: 'odd' }));
    for (const [who, where] of [[home, '/devices'], [odd, '/devices'], [home, '/history']]) {
      const { body } = await ask(who, 'GET', where);
      assert.doesNotMatch(body, /<script>alert/);
      assert.match(body, /&#60;script&#62;alert/, where);
    }
    for (const name of ['a\r\nSet-Cookie: x=1', 'a\tb', 'a\u0007', 'x'.repeat(61),
      'page', 'Command  Line', 'import', 'Kitchen phone', 'tablet']) {
      h.hanklab(book, 'device', 'add');
      const a = await tryCode(codeOf(book), { name });
      assert.strictEqual(a.status, 400, name);
      assert.deepStrictEqual(a.headers['set-cookie'], undefined);
    }
    const shown = await ask(page, 'GET', `/pair?code=${encodeURIComponent(bad)}&name=${encodeURIComponent(bad)}`);
    assert.doesNotMatch(shown.body, /<script>alert/);
  });

  await h.test('no words get into a header', async () => {
    const token = await mark(phone);
    for (const to of ['/\r\nSet-Cookie: a=b', '//evil.example', '/\\evil.example', 'http://evil.example/']) {
      const a = await ask(phone, 'POST', '/ground', form({ token, ground: 'mid', to }));
      assert.strictEqual(a.headers.location, '/', to);
      assert.match(a.headers['set-cookie'].join(), /^ground=mid;/);
    }
    const a = await ask(phone, 'POST', '/ground', form({ token, ground: 'mid\r\nX-Evil: 1', to: '/' }));
    assert.strictEqual(a.headers['set-cookie'], undefined);
    assert.strictEqual(a.headers['x-evil'], undefined);
  });

  await h.test('a device that was sent away is a stranger at once', async () => {
    const lost = await letIn(book, page, 'lost phone');
    const token = await mark(lost);
    const count = acts().length;
    // Its form is on the way while it is sent away.
    const body = form({ token, do: 'save', name: 'never' }).body;
    const said = await new Promise((resolve, reject) => {
      const s = net.connect(page.port, page.host, async () => {
        s.write(`POST /log HTTP/1.1\r\nHost: ${page.host}:${page.port}\r\n`
          + `Cookie: ${lost.cookie}\r\nConnection: close\r\n`
          + 'Content-Type: application/x-www-form-urlencoded\r\n'
          + `Content-Length: ${body.length}\r\n\r\n${body.slice(0, 10)}`);
        await pause(200);
        h.hanklab(book, 'device', 'revoke', 'lost phone');
        s.write(body.slice(10));
      });
      let got = '';
      s.on('data', (b) => { got += b; });
      s.on('close', () => resolve(got));
      s.on('error', reject);
    });
    assert.match(said, /^HTTP\/1\.1 403/);
    assert.strictEqual((await ask(lost, 'GET', '/')).headers.location, '/pair');
    assert.strictEqual((await ask(lost, 'POST', '/log', form({ token, do: 'save', name: 'never' }))).status, 403);
    assert.strictEqual(acts().length, count);
    assert.strictEqual((await ask(phone, 'GET', '/')).status, 200, 'another stays');
    const there = devices(book).find((d) => d.name === 'lost phone');
    assert.strictEqual(there.revoked, true);
    assert.throws(() => h.hanklab(book, 'device', 'revoke', 'lost phone'), /sent away already/);
    h.hanklab(book, 'device', 'add');
    assert.match(text((await tryCode(codeOf(book), { name: 'lost phone' })).body), /is or was/);
  });

  await h.test('on the page of this machine devices are renamed and sent away', async () => {
    const old = await letIn(book, page, 'old tablet');
    const token = await mark(home);
    const { number } = { number: devices(book).find((d) => d.name === 'old tablet').device };
    const named = await ask(home, 'POST', '/devices/name', form({ token, device: number, name: 'big tablet' }));
    assert.strictEqual(named.status, 303, text(named.body));
    assert.match((await ask(old, 'GET', '/devices')).body, /big tablet/);
    assert.match(text((await ask(home, 'POST', '/devices/name',
      form({ token, device: number, name: 'old tablet' }))).body), /is or was/);
    assert.strictEqual((await ask(home, 'POST', '/devices/new', form({ token }))).status, 303);
    assert.strictEqual((await ask(home, 'POST', '/devices/revoke', form({ token, device: number }))).status, 303);
    assert.strictEqual((await ask(old, 'GET', '/')).status, 303);
    assert.strictEqual((await ask(home, 'POST', '/devices/revoke', form({ token, device: '99' }))).status, 404);
    const own = await letIn(book, page, 'leaves by itself');
    const left = await ask(own, 'POST', '/devices/leave', form({ token: await mark(own) }));
    assert.match(left.headers['set-cookie'][0], /^hanklab-\d+=; .*Max-Age=0/);
    assert.strictEqual((await ask(own, 'GET', '/')).status, 303);
  });

  await h.test('a damaged list lets nobody in, and says so', async () => {
    const file = path.join(book, 'devices');
    const good = fs.readFileSync(file);
    for (const bad of ['', 'hanklab devices 2\n', 'hanklab devices 1\ndevice\t1\n', 'x'.repeat(999),
      good.subarray(0, good.length - 1)]) {
      fs.writeFileSync(file, bad);
      const a = await ask(phone, 'GET', '/');
      assert.strictEqual(a.status, 503);
      assert.doesNotMatch(a.body, /madder/);
      assert.ok(!a.body.includes(book), 'does not say where the book lies');
      assert.strictEqual((await ask(home, 'GET', '/')).status, 200);
      assert.match(text((await ask(home, 'GET', '/devices')).body), /damaged/);
      assert.throws(() => h.hanklab(book, 'device', 'list'), /damaged/);
    }
    fs.writeFileSync(file, good);
    assert.strictEqual((await ask(phone, 'GET', '/')).status, 200);
  });

  await h.test('a copy of the book lets nobody in', async () => {
    const to = path.join(h.folder(), 'copy');
    h.hanklab(book, 'backup', to);
    assert.ok(!fs.existsSync(path.join(to, 'devices')));
    const there = await share(to);
    assert.strictEqual((await ask({ ...there, cookie: phone.cookie }, 'GET', '/')).status, 303);
  });

  await h.test('a device is known again after the program was ended', async () => {
    const own = h.newBook();
    const first = await share(own);
    const known = await letIn(own, first, 'phone');
    first.child.removeAllListeners('exit');
    const gone = new Promise((resolve) => first.child.on('exit', resolve));
    first.child.kill('SIGTERM');
    assert.strictEqual(await gone, 0);
    assert.throws(() => h.hanklab(own, 'device', 'add'), /not shared just now/);
    const again = await share(own);
    const cookie = known.cookie.replace(/^hanklab-\d+/, `hanklab-${again.port}`);
    assert.strictEqual((await ask({ ...again, cookie }, 'GET', '/')).status, 200);
  });

  await h.test('only addresses of a local network are shared at', async () => {
    for (const at of ['8.8.8.8', '127.0.0.1', '172.32.0.1', '192.169.0.1'])
      await assert.rejects(h.serve(book, `share=${at}`), /no address of a local network/);
    await assert.rejects(h.serve(book, 'share=10.255.255.254'), /no address of this machine/);
    await assert.rejects(h.serve(book, 'share=kitchen'), /usage/);
  });
  await h.end();
})();
