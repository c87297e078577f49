// The page's server without a browser: what must be refused, and how.
'use strict';
const assert = require('node:assert');
const fs = require('node:fs');
const http = require('node:http');
const net = require('node:net');
const path = require('node:path');
const zlib = require('node:zlib');
const { ask, form, why } = require('./ask');
const h = require('./harness');

async function token(page) {
  const { body } = await ask(page, 'GET', '/log');
  return /name="token" value="([0-9a-f]{32})"/.exec(body)[1];
}

(async () => {
  const book = h.newBook();
  const page = await h.serve(book);
  const mark = await token(page);
  const acts = () => h.hanklab(book, 'history', '--json');
  const before = acts();
  const unchanged = () => assert.strictEqual(acts(), before);

  await h.test('headers: strict policy, nothing cached, no sniffing', async () => {
    const { headers } = await ask(page, 'GET', '/');
    const policy = headers['content-security-policy'];
    assert.match(policy, /default-src 'none'/);
    assert.doesNotMatch(policy, /unsafe|\*|data:/);
    assert.strictEqual(headers['x-content-type-options'], 'nosniff');
    assert.strictEqual(headers['cache-control'], 'no-store');
  });

  // RFC 9110, 12.5.3 and 8.4; gunzip is node's own. Asked for twice, for a page
  // that has not changed is kept in both forms.
  await h.test('an answer is packed for who takes it so, and is the same', async () => {
    const plain = await ask(page, 'GET', '/');
    const style = /href="(\/a\/[^"]+look\.css)"/.exec(plain.body)[1];
    for (const where of ['/', style, '/', style]) {
      const asked = async (accept) => ask(page, 'GET', where,
        { headers: accept === undefined ? {} : { 'Accept-Encoding': accept } });
      const whole = await asked();
      for (const accept of ['gzip', 'br, GZIP ;q=0.5', 'deflate,gzip']) {
        const a = await asked(accept);
        assert.strictEqual(a.headers['content-encoding'], 'gzip', accept);
        assert.strictEqual(zlib.gunzipSync(a.bytes).toString(), whole.body);
        assert.ok(a.bytes.length < whole.bytes.length / 2);
        assert.strictEqual(a.headers.vary, 'Accept-Encoding');
      }
      for (const accept of ['', 'br', 'gzip;q=0', 'identity, gzip; q=0.0', 'x-gzip-2']) {
        const a = await asked(accept);
        assert.strictEqual(a.headers['content-encoding'], undefined, accept);
        assert.strictEqual(a.body, whole.body, accept);
        assert.strictEqual(a.headers.vary, 'Accept-Encoding');
      }
    }
    const refused = await ask(page, 'POST', '/log', { headers: { 'Accept-Encoding': 'gzip' } });
    assert.strictEqual(refused.status, 400);
    assert.match(zlib.gunzipSync(refused.bytes).toString(), /not a form/);
  });

  await h.test('another host name is refused', async () => {
    for (const Host of ['evil.example', `evil.example:${page.port}`,
      '127.0.0.1', `127.0.0.1:${page.port + 1}`]) {
      const { status, body } = await ask(page, 'GET', '/', { headers: { Host } });
      assert.strictEqual(status, 400, Host);
      assert.match(why(body), /this machine only/);
    }
  });

  await h.test('a form from another page is refused', async () => {
    for (const Origin of ['http://evil.example', 'null',
      `https://127.0.0.1:${page.port}`]) {
      const f = form({ token: mark, name: 'never' });
      f.headers.Origin = Origin;
      const { status } = await ask(page, 'POST', '/log', f);
      assert.strictEqual(status, 400, Origin);
    }
    unchanged();
  });

  await h.test('a form without its token is refused', async () => {
    for (const t of [undefined, '', 'f'.repeat(32), `${mark}0`]) {
      const { status, body } = await ask(page, 'POST', '/log',
        form(t === undefined ? { name: 'never' } : { token: t, name: 'never' }));
      assert.strictEqual(status, 400);
      assert.match(why(body), /mark/);
    }
    unchanged();
  });

  await h.test('no path leads out of the pages', async () => {
    for (const where of ['/../book.db', '/a/../../book.db', '/photo/../book.db',
      '/photo/%2e%2e%2fbook.db', '/%2e%2e/%2e%2e/etc/passwd', '//etc/passwd',
      '/photo/1', '/photo/x', '/photo/', '/skein/999', '/skein/-1',
      '/skein/99999999999999999999', '/record/nonsense', '/record/skein/0',
      '/a/00000000/look.css', '/a/', '/\u00e4', '/%ff']) {
      const { status, body } = await ask(page, 'GET', encodeURI(where)
        .replace(/%25/g, '%'));
      assert.ok(status >= 400 && status < 500, `${where}: ${status}`);
      assert.doesNotMatch(body, /SQLite|root:/);
    }
  });

  await h.test('a skein stands under its number, another dyer\'s too', async () => {
    const own = h.newBook();
    h.hanklab(own, 'dyer', 'add', 'Aino');
    h.hanklab(own, 'skein', 'add', '--number', '12', '--dyer', 'Aino');
    h.hanklab(own, 'skein', 'add', '--number', '77');
    const there = await h.serve(own);
    const { body } = await ask(there, 'GET', '/');
    for (const [where, head] of [['/skein/77', 'Skein 77'],
      ['/skein/Aino%2F12', 'Skein Aino/12']]) {
      assert.ok(body.includes(`href="${where}"`), `the rack leads to ${where}`);
      const { status, body: shown } = await ask(there, 'GET', where);
      assert.strictEqual(status, 200);
      assert.ok(shown.includes(`<h1>${head}`), where);
    }
    assert.strictEqual((await ask(there, 'GET', '/skein/1')).status, 404,
      'what the book counts by is no address');
  });

  await h.test('what is neither asked for nor sent is refused', async () => {
    for (const method of ['PUT', 'DELETE', 'PATCH', 'OPTIONS'])
      assert.strictEqual((await ask(page, method, '/')).status, 400, method);
    assert.strictEqual((await ask(page, 'GET', '/undo')).status, 404);
  });

  await h.test('65 MiB is refused before it is sent', async () => {
    const said = await new Promise((resolve, reject) => {
      const s = net.connect(page.port, '127.0.0.1', () => s.write(
        `POST /log HTTP/1.1\r\nHost: 127.0.0.1:${page.port}\r\n`
        + 'Content-Type: multipart/form-data; boundary=xyz\r\n'
        + `Content-Length: ${66 << 20}\r\n\r\n--xyz\r\n`));
      let got = '';
      s.setTimeout(10000, () => reject(new Error('no answer')));
      s.on('data', (b) => { got += b; if (got.includes('</html>')) s.destroy(); });
      s.on('close', () => resolve(got));
      s.on('error', reject);
    });
    assert.match(said, /^HTTP\/1\.1 413/);
    assert.match(said, /64 MiB/);
    unchanged();
  });

  await h.test('a file that grows over the limit is refused', async () => {
    // Chunked, so that no length says so beforehand.
    const answer = await new Promise((resolve, reject) => {
      const req = http.request({
        host: '127.0.0.1', port: page.port, method: 'POST', path: '/log',
        agent: false,
        headers: { 'Content-Type': 'multipart/form-data; boundary=xyz' },
      }, (res) => {
        let body = '';
        res.on('data', (b) => { body += b; });
        res.on('end', () => resolve(`${res.statusCode} ${why(body)}`));
      });
      req.on('error', (e) => (e.code === 'EPIPE' || e.code === 'ECONNRESET'
        ? resolve('413 cut off') : reject(e)));
      req.write(`--xyz\r\nContent-Disposition: form-data; name="token"\r\n\r\n${mark}\r\n`);
      req.write('--xyz\r\nContent-Disposition: form-data; name="photo"; '
        + 'filename="a.jpg"\r\nContent-Type: image/jpeg\r\n\r\n');
      const mebi = Buffer.alloc(1 << 20, 65);
      let n = 0;
      const more = () => {
        while (n < 66) { n += 1; if (!req.write(mebi)) { req.once('drain', more); return; } }
        req.end('\r\n--xyz--\r\n');
      };
      more();
    });
    assert.match(answer, /^413/);
    unchanged();
    const left = fs.readdirSync(path.join(book, 'cache'))
      .filter((f) => f.startsWith('arriving'));
    assert.deepStrictEqual(left, []);
  });

  await h.test('half a form changes nothing', async () => {
    await new Promise((resolve) => {
      const s = net.connect(page.port, '127.0.0.1', () => {
        s.write(`POST /log HTTP/1.1\r\nHost: 127.0.0.1:${page.port}\r\n`
          + 'Content-Type: application/x-www-form-urlencoded\r\n'
          + `Content-Length: 500\r\n\r\ntoken=${mark}&name=half`);
        setTimeout(() => s.destroy(), 100);
      });
      s.on('close', resolve);
    });
    assert.strictEqual((await ask(page, 'GET', '/')).status, 200);
    unchanged();
  });

  await h.test('a slow client holds up nobody', async () => {
    const slow = net.connect(page.port, '127.0.0.1');
    const drip = setInterval(() => slow.write('G'), 50);
    const began = Date.now();
    for (let i = 0; i < 20; i++)
      assert.strictEqual((await ask(page, 'GET', '/')).status, 200);
    clearInterval(drip);
    slow.destroy();
    // Not a measure of speed: only that it did not wait for the other.
    assert.ok(Date.now() - began < 30000);
  });

  await h.test('50 clients at once are all answered', async () => {
    const answers = await Promise.all(Array.from({ length: 50 },
      () => ask(page, 'GET', '/')));
    assert.ok(answers.every((a) => a.status === 200));
    unchanged();
  });

  await h.test('script in every field comes back as text', async () => {
    const bad = 'x"><script>alert(1)</script><img src=x onerror=alert(2)>\'';
    const fields = { token: mark, do: 'try', 's-weight': bad };
    for (const [, name] of (await ask(page, 'GET', '/log')).body
      .matchAll(/<input[^>]* name="([^"]+)"/g))
      if (name !== 'token' && name !== 'photo') fields[name] = bad;
    const tried = await ask(page, 'POST', '/log', form(fields));
    assert.doesNotMatch(tried.body, /<script>alert|<img/);
    const saved = await ask(page, 'POST', '/log', form({
      token: mark, do: 'save', name: bad, dyestuff: 'x<script>alert(1)</script>', fibre: bad, note: bad,
      water: bad, 's-weight': '20 g', 's-code': bad, 's-which': bad,
    }));
    assert.strictEqual(saved.status, 303, why(saved.body));
    for (const where of ['/', saved.headers.location, '/skein/1', '/cupboard',
      '/record/material/1', '/history', '/history?noun=skein&id=1',
      `/find?q=${encodeURIComponent(bad)}`, '/grid', '/fade?bath=1', '/log/again'])
      assert.doesNotMatch((await ask(page, 'GET', where)).body,
        /<script>alert|<img/, where);
  });

  await h.test('command line and page write to one book together', async () => {
    const pots = 12;
    const page1 = Array.from({ length: pots }, (_, i) => ask(page, 'POST',
      '/log', form({ token: mark, do: 'save', name: `page ${i}` })));
    for (let i = 0; i < pots; i++)
      h.hanklab(book, 'log', `line ${i}`);
    for (const a of await Promise.all(page1)) assert.strictEqual(a.status, 303);
    const all = h.hanklab(book, 'list', 'baths', '--json');
    for (let i = 0; i < pots; i++) {
      assert.ok(all.includes(`page ${i}`));
      assert.ok(all.includes(`line ${i}`));
    }
  });

  await h.test('a material called as another one is asked about, and joined', async () => {
    const add = (name) => ask(page, 'POST', '/record/material',
      form({ token: mark, kind: 'dyestuff', name }));
    const from = (await add('elder')).headers.location;
    const to = (await add('elder berries')).headers.location;
    const named = { token: mark, kind: 'dyestuff', name: 'elder berries' };
    const asked = await ask(page, 'POST', from.split('?')[0], form(named));
    assert.strictEqual(asked.status, 400, why(asked.body));
    assert.match(asked.body, /already; if the two are one, join them here/);
    assert.match(asked.body, /name="join"/);
    const joined = await ask(page, 'POST', from.split('?')[0],
      form({ ...named, join: 'yes' }));
    assert.strictEqual(joined.status, 303, why(joined.body));
    assert.strictEqual(joined.headers.location.split('?')[0], to.split('?')[0]);
    assert.match(h.hanklab(book, 'show', 'material', 'elder'), /^material elder berries/);
    const other = await ask(page, 'GET', to);
    assert.doesNotMatch(other.body, /name="join"/);
  });

  await h.test('small copies of a photo are made once and kept', async () => {
    const file = path.join(h.root, 'fixtures', 'weld-alum.jpg');
    h.hanklab(book, 'photo', 'add', file);
    const [whole, small] = [await ask(page, 'GET', '/photo/1'),
      await ask(page, 'GET', '/photo/1/480')];
    for (const a of [whole, small]) {
      assert.strictEqual(a.status, 200);
      assert.strictEqual(a.headers['content-type'], 'image/jpeg');
    }
    assert.strictEqual(Number(whole.headers['content-length']),
      fs.statSync(file).size);
    assert.ok(small.headers['content-length'] < fs.statSync(file).size / 4);
    const kept = fs.readdirSync(path.join(book, 'cache'))
      .filter((n) => n.endsWith('-480.jpg'));
    assert.strictEqual(kept.length, 1);
    const again = await ask(page, 'GET', '/photo/1/480');
    assert.strictEqual(again.body, small.body);
    for (const size of ['481', '', '0', '480/', '../1'])
      assert.strictEqual((await ask(page, 'GET', `/photo/1/${size}`)).status,
        404, size);
  });

  await h.test('what was left lying for a day goes when the page begins', async () => {
    const own = h.newBook();
    const cache = path.join(own, 'cache');
    const old = ['arriving-a1b2c3', 'import-0123', 'going-4567', 'abc-480.jpg'];
    fs.mkdirSync(cache, { recursive: true });
    for (const name of [...old, 'going-89ab']) {
      fs.writeFileSync(path.join(cache, name), 'x');
      if (old.includes(name)) fs.utimesSync(path.join(cache, name), 1e9, 1e9);
    }
    await h.serve(own);
    assert.deepStrictEqual(fs.readdirSync(cache).filter((n) => n !== 'page-token').sort(),
      ['abc-480.jpg', 'going-89ab']);
  });

  // Looks at the children of the page's program while photos are read.
  await h.test('what reads a photo can open nothing and ask nothing', async () => {
    const { pid } = page.child;
    let asked = true;
    let shut;
    const look = (child) => {
      const status = fs.readFileSync(`/proc/${child}/status`, 'utf8');
      if (!/^Seccomp:\t2$/m.test(status)) return;
      shut = {
        files: fs.readdirSync(`/proc/${child}/fd`).map(Number),
        memory: fs.readFileSync(`/proc/${child}/limits`, 'utf8'),
      };
    };
    const watch = (async () => {
      while (asked && !shut) {
        for (const child of fs.readFileSync(
          `/proc/${pid}/task/${pid}/children`, 'utf8').split(' ').filter(Boolean))
          try { look(child); } catch (e) { // it has ended meanwhile
            if (!['ENOENT', 'ESRCH'].includes(e.code)) throw e;
          }
        await new Promise(setImmediate);
      }
    })();
    for (let i = 0; i < 40 && !shut; i += 1)
      assert.strictEqual((await ask(page, 'GET', '/measure/1')).status, 200);
    asked = false;
    await watch;
    assert.ok(shut || /no filters/.test(page.said()), 'no child was seen shut');
    if (!shut) return;
    assert.deepStrictEqual(shut.files.filter((n) => n > 4), [], 'files open');
    assert.match(shut.memory, /Max address space +\d+ /);
    assert.match(shut.memory, /Max file size +0 +0 /);
  });

  await h.test('a reading for another light is shown by its numbers', async () => {
    const skein = /^skein (\d+)/.exec(h.hanklab(book, 'skein', 'add', 'by instrument'))[1];
    h.hanklab(book, 'reading', 'add', '--skein', skein, '--lab', '41.2,38.5,20.1',
      '--source', 'instrument', '--illuminant', 'D65', '--observer', '10',
      '--geometry', 'd/8');
    const rack = (await ask(page, 'GET', '/')).body;
    const where = new RegExp(`href="(/skein/[^"]+)" title="Skein ${skein},`).exec(rack)[1];
    const { body } = await ask(page, 'GET', where);
    const colour = /id="h-lab">Colour<[^]*?<\/section>/.exec(body)[0];
    assert.match(colour, /41\.2[^]*38\.5[^]*20\.1[^]*under D65, 10/);
    assert.match(colour, /go by D50/);
    assert.doesNotMatch(colour, /<svg/);
  });

  await h.test('a piece hangs as the one it was cut off', async () => {
    h.hanklab(book, 'log', 'cut up', '--skein', 'weight=20 g');
    const made = JSON.parse(h.hanklab(book, 'list', '--json')).at(-1).skein;
    h.hanklab(book, 'reading', 'add', '--skein', made, '--lab', '41.2,38.5,20.1',
      '--source', 'instrument', '--illuminant', 'D50', '--observer', '2',
      '--geometry', 'd/8');
    h.hanklab(book, 'cut', made, '5 g');
    const cut = (await ask(page, 'GET', `/skein/${made}`)).body;
    assert.match(cut, /Went into<\/dt><dd>skein <a href="\/skein\/\d+">\d+<\/a>: 5 g<\/dd><dt>Left of it<\/dt><dd>15\.0 g/);
    h.hanklab(book, 'undo');
    h.hanklab(book, 'cut', made, 'half', 'half');
    const rack = (await ask(page, 'GET', '/')).body;
    assert.strictEqual(rack.split(`>as ${made}</b>`).length, 3, 'two pieces');
    const where = new RegExp(`href="(/skein/[^"]+)" title="Skein \\d+, [^"]*as skein ${made}"`)
      .exec(rack)[1];
    assert.match((await ask(page, 'GET', where)).body,
      new RegExp(`shown as skein ${made} was before it was cut[^]*41\\.2`));
  });

  await h.test('a book on a network drive is said to be', async () => {
    Object.assign(process.env, { LD_PRELOAD: path.join(h.build, 'world.so'), WORLD_REMOTE: '1' });
    const there = await h.serve(book);
    for (const name of ['LD_PRELOAD', 'WORLD_REMOTE']) delete process.env[name];
    assert.match((await ask(there, 'GET', '/')).body, /Mind: the book is on a network drive/);
    assert.doesNotMatch((await ask(page, 'GET', '/')).body, /network drive/);
  });

  await h.test('the book is copied, and no other written over', async () => {
    const to = path.join(h.folder(), 'copy');
    const copy = (where) => ask(page, 'POST', '/copies', form({ token: mark, to: where }));
    assert.match((await ask(page, 'GET', '/copies')).body, /No copy was made yet/);
    assert.match((await copy(to)).body, /All records and 1 photo, 1 of them new/);
    assert.match((await copy(to)).body, /1 photo, 0 of them new/);
    assert.match((await ask(page, 'GET', '/copies')).body, /made today, into <b>[^<]*copy</);
    assert.strictEqual(h.hanklab(to, 'list', '--json'), h.hanklab(book, 'list', '--json'));
    assert.match(h.hanklab(to, 'check'), /The book is sound/);
    for (const [where, said] of [[book, /lies in the book itself/],
      [path.join(book, 'photos'), /lies in the book itself/],
      [h.newBook(), /another book/], ['copy', /whole name of a folder/],
      ['/proc/nowhere', /cannot make the folder/]])
      assert.match((await copy(where)).body, said, where);
  });

  await h.test('undo takes back what was just saved', async () => {
    const saved = await ask(page, 'POST', '/log',
      form({ token: mark, do: 'save', name: 'not this one' }));
    const act = /saved=(\d+)/.exec(saved.headers.location)[1];
    const after = await ask(page, 'GET', saved.headers.location);
    assert.match(after.body, /not this one/);
    const undone = await ask(page, 'POST', '/undo', form({ token: mark, act }));
    assert.strictEqual(undone.status, 303);
    assert.doesNotMatch((await ask(page, 'GET', '/')).body, /not this one/);
  });

  await h.test('a pot and its photo are one act', async () => {
    const before = h.hanklab(book, 'photo', 'list');
    const part = (name, value) => `--xyz\r\nContent-Disposition: form-data; name="${name}"`
      + `${value}\r\n`;
    const body = Buffer.concat([
      Buffer.from(part('token', `\r\n\r\n${mark}`) + part('name', '\r\n\r\nseen once')
        + part('photo', '; filename="a.jpg"\r\nContent-Type: image/jpeg\r\n')),
      fs.readFileSync(path.join(h.fixtures, 'pax-alum.jpg')), Buffer.from('\r\n--xyz--\r\n')]);
    const saved = await ask(page, 'POST', '/log/quick', {
      headers: { 'Content-Type': 'multipart/form-data; boundary=xyz' }, body });
    const act = /saved=(\d+)/.exec(saved.headers.location)[1];
    assert.notStrictEqual(h.hanklab(book, 'photo', 'list'), before);
    assert.strictEqual((await ask(page, 'POST', '/undo', form({ token: mark, act }))).status, 303);
    assert.doesNotMatch((await ask(page, 'GET', '/')).body, /seen once/);
    assert.strictEqual(h.hanklab(book, 'photo', 'list'), before);
  });

  await h.test('the token outlives the program', async () => {
    const again = await h.serve(book);
    assert.strictEqual(await token(again), mark);
  });

  await h.test('what was said before is offered again', async () => {
    await ask(page, 'POST', '/log', form({ token: mark, do: 'save',
      name: 'kettle', dyestuff: 'madder & "roots": 60 %', fibre: 'two-ply' }));
    const { body } = await ask(page, 'GET', '/log');
    assert.match(body, /<option value="madder &#38; &#34;roots&#34;: 60 %">/);
    assert.match(body, /id="dyestuff-0"[^>]* list="l-dyestuff"/);
  });

  await h.test('a page made before is the page made anew', async () => {
    const paths = ['/', '/skein/1', '/bath/1', '/find?q=madder', '/grid', '/cupboard'];
    const changes = [
      () => h.hanklab(book, 'log', 'Kept', '--dyestuff', 'madder: 60 %', '--skeins', '2'),
      () => h.hanklab(book, 'skein', 'edit', '1', '--note', 'kept by the page'),
      () => ask(page, 'POST', '/record/skein/1', form({ token: mark, note: 'and by a form' })),
      () => h.hanklab(book, 'undo'),
      () => h.hanklab(book, 'backup', path.join(h.folder(), 'copy')),
      () => {},
    ];
    for (const [i, change] of changes.entries()) {
      for (const where of paths) await ask(page, 'GET', where);
      await change();
      const anew = await h.serve(book);
      for (const where of paths)
        for (const headers of [{}, { Cookie: 'ground=dark' }, { Cookie: 'ground=mid' }]) {
          const of = async (p) => (await ask(p, 'GET', where, { headers })).body;
          const whole = await of(anew);
          assert.strictEqual(await of(page), whole, `${where} after change ${i}`);
          assert.strictEqual(await of(page), whole, `${where} again`);
        }
    }
  });

  await h.test('a form that arrives in pieces arrives whole', async () => {
    const part = (head, value) => `--xyz\r\nContent-Disposition: form-data; `
      + `${head}\r\n\r\n${value}\r\n`;
    const body = part('name="token"', mark) + part('name="name"', 'tub')
      + part('name="skeins"', '1') + part('name="note"', '5') + '--xyz--\r\n';
    const from = body.indexOf('name="note"') + 6;
    for (let cut = from; cut < body.length - 8; cut += 1) {
      const said = await new Promise((resolve, reject) => {
        const s = net.connect(page.port, '127.0.0.1', () => {
          s.setNoDelay(true);
          s.write(`POST /log HTTP/1.1\r\nHost: 127.0.0.1:${page.port}\r\n`
            + 'Content-Type: multipart/form-data; boundary=xyz\r\n'
            + `Content-Length: ${body.length}\r\nConnection: close\r\n\r\n`
            + body.slice(0, cut));
          setTimeout(() => s.write(body.slice(cut)), 20);
        });
        let got = '';
        s.on('data', (b) => { got += b; });
        s.on('close', () => resolve(got));
        s.on('error', reject);
      });
      const where = /Location: (\S+)/.exec(said);
      assert.ok(where, `cut at ${cut}: ${said.slice(0, 80)}`);
      const { body: shown } = await ask(page, 'GET', where[1]);
      assert.match(shown, /Note<\/dt><dd>5/, `cut at ${cut - from}`);
    }
  });

  await h.test('a photo whose bytes come late is taken', async () => {
    const head = Buffer.from('--xyz\r\nContent-Disposition: form-data; '
      + `name="token"\r\n\r\n${mark}\r\n--xyz\r\nContent-Disposition: `
      + 'form-data; name="photo"; filename="a.jpg"\r\n'
      + 'Content-Type: image/jpeg\r\n\r\n');
    const body = Buffer.concat([head,
      fs.readFileSync(path.join(h.root, 'fixtures/undyed.jpg')),
      Buffer.from('\r\n--xyz--\r\n')]);
    for (const cut of [-2, -1, 0, 1, 2].map((n) => head.length + n)) {
      const said = await new Promise((resolve, reject) => {
        const s = net.connect(page.port, '127.0.0.1', () => {
          s.setNoDelay(true);
          s.write(`POST /photo HTTP/1.1\r\nHost: 127.0.0.1:${page.port}\r\n`
            + 'Content-Type: multipart/form-data; boundary=xyz\r\n'
            + `Content-Length: ${body.length}\r\nConnection: close\r\n\r\n`);
          s.write(body.subarray(0, cut));
          setTimeout(() => s.write(body.subarray(cut)), 20);
        });
        let got = '';
        s.on('data', (b) => { got += b; });
        s.on('close', () => resolve(got));
        s.on('error', reject);
      });
      assert.match(said, /^HTTP\/1\.1 303/, `cut at ${cut - head.length}`);
    }
  });

  await h.end();
})();
