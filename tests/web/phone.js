// A phone in the kitchen: let in by its camera, then pot, photo, box and save,
// all with a finger, at a shared address.
'use strict';
const assert = require('node:assert');
const { execFileSync } = require('node:child_process');
const path = require('node:path');
const jsqr = require('jsqr');
const { chromium } = require('playwright-core');
const { codeOf, share } = require('./ask');
const { mark, photo, truth } = require('./finger');
const h = require('./harness');

const phone = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true };

// What a camera reads in dots: width of them in a row, dark or not.
function read(dark, width) {
  const scale = 4;
  const height = dark.length / width;
  const rgba = new Uint8ClampedArray(width * height * scale * scale * 4);
  for (let y = 0; y < height * scale; y++)
    for (let x = 0; x < width * scale; x++) {
      const shade = dark[Math.floor(y / scale) * width + Math.floor(x / scale)] ? 0 : 255;
      rgba.set([shade, shade, shade, 255], (y * width * scale + x) * 4);
    }
  return jsqr(rgba, width * scale, height * scale)?.data;
}

// The same in a page's picture of an element.
async function readOn(page, locator) {
  const png = (await locator.screenshot()).toString('base64');
  const { width, dark } = await page.evaluate(async (bytes) => {
    const image = new Image();
    image.src = URL.createObjectURL(new Blob(
      [Uint8Array.from(atob(bytes), (c) => c.charCodeAt(0))], { type: 'image/png' }));
    await image.decode();
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [image.width, image.height];
    const context = canvas.getContext('2d');
    context.drawImage(image, 0, 0);
    const { data } = context.getImageData(0, 0, image.width, image.height);
    return { width: image.width,
      dark: Array.from({ length: data.length / 4 }, (_, i) => data[4 * i] < 128) };
  }, png);
  return read(dark, width);
}

(async () => {
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM || '/usr/bin/chromium',
    args: ['--no-sandbox'],
  });
  const book = h.newBook();
  const shared = await share(book);
  let invitation;

  await h.test('the code stands on this machine\'s page for a camera', async () => {
    const page = await browser.newPage();
    for (const ground of ['light', 'dark']) {
      await page.context().addCookies([{ name: 'ground', value: ground,
        url: `http://127.0.0.1:${shared.port}` }]);
      await page.goto(`http://127.0.0.1:${shared.port}/devices`);
      invitation = await readOn(page, page.locator('.qr'));
      assert.strictEqual(invitation, `${shared.url}pair?code=${codeOf(book)}`, ground);
    }
    await page.close();
  });

  await h.test('and on a terminal', async () => {
    const bin = path.join(h.build, 'hanklab');
    const said = execFileSync('script', ['-qec', `${bin} device add --book ${book}`, '/dev/null'],
      { encoding: 'utf8', env: { ...process.env, LC_ALL: 'C.UTF-8' } });
    const rows = said.split(/\r?\n/).filter((line) => line.startsWith('\x1b[38;5;16;48;5;231m'))
      // eslint-disable-next-line no-control-regex
      .map((line) => [...line.replace(/\x1b\[[0-9;]*m/g, '')]);
    assert.ok(rows.length > 15);
    const dark = rows.flatMap((row) => ['\u2580\u2588', '\u2584\u2588']
      .flatMap((marks) => row.map((c) => marks.includes(c))));
    invitation = read(dark, rows[0].length);
    assert.strictEqual(invitation, `${shared.url}pair?code=${codeOf(book)}`);
  });

  for (const javaScriptEnabled of [true, false])
    await h.test(`let in, a pot, a photo, boxes, saved${javaScriptEnabled ? '' : ', scripts off'}`, async () => {
      const options = { ...phone, javaScriptEnabled };
      const context = await browser.newContext(options);
      const page = await context.newPage();
      page.setDefaultTimeout(60000); // a loaded machine is slow
      // Chromium takes 127.0.0.2 for safe; at a home network's address it gives
      // pages none of these.
      await context.addInitScript(() => {
        Object.defineProperty(window, 'isSecureContext', { value: false });
        for (const [owner, name] of [[Navigator, 'mediaDevices'], [Navigator, 'clipboard'],
          [Navigator, 'serviceWorker'], [Navigator, 'share'], [Crypto, 'subtle'], [Crypto, 'randomUUID']])
          delete owner.prototype[name];
        delete window.caches;
        delete window.cookieStore;
      });
      h.hanklab(book, 'device', 'add');
      const name = `phone with${javaScriptEnabled ? '' : 'out'} scripts`;
      await page.goto(shared.url);
      assert.match(page.url(), /\/pair$/);
      await page.getByLabel('Code').fill(codeOf(book).replace(/.../, '$& '));
      await page.getByLabel('Its name').fill(name);
      await page.getByRole('button', { name: 'Let in' }).tap();
      await page.waitForURL(shared.url);

      await page.goto(`${shared.url}log`);
      await page.getByLabel('Pot', { exact: true }).fill('Madder by the stove');
      for (const i of [1, 2])
        await page.getByLabel(`Skein ${i} of this pot: dry weight`).fill('20 g');
      await page.getByRole('button', { name: 'Save', exact: true }).tap();
      await page.getByText('Saved.').waitFor();
      const [one, two] = JSON.parse(h.hanklab(book, 'list', '--json')).slice(-2)
        .map((s) => s.skein);

      const { skeins } = truth('madder-alum.jpg');
      await page.goto(`${shared.url}measure`);
      await page.getByLabel('Choose a photo').setInputFiles(photo('madder-alum.jpg'));
      await page.getByRole('button', { name: 'Go on to its boxes' }).tap();
      await page.waitForURL('**/measure/*');
      // Card and skeins were found; one is taken away, and drawn anew.
      if (javaScriptEnabled)
        await page.locator('[data-remove]:visible').nth(1).tap();
      await mark(page, options, 2, skeins[1].box);
      if (javaScriptEnabled)
        await page.waitForFunction(() =>
          document.querySelectorAll('[name=box]')[1].value !== '');
      for (const [i, which] of [one, two].entries()) {
        if (!javaScriptEnabled)
          await page.getByLabel('is', { exact: true }).nth(i).selectOption('skein');
        await page.getByLabel('which', { exact: true }).nth(i).fill(String(which));
      }
      await page.getByRole('button', { name: 'Measure', exact: true }).tap();
      await page.getByText('Save 2 readings').waitFor();
      await page.getByRole('button', { name: 'Save 2 readings' }).tap();
      await page.getByText('Saved.').waitFor();
      const found = JSON.parse(h.hanklab(book, 'show', String(one), '--json'));
      assert.ok(Math.abs(found.life[0].readings[0].L - skeins[0].L) < 4, 'the skein has its colour');
      for (const act of JSON.parse(h.hanklab(book, 'history', '--json')).slice(0, 3))
        assert.strictEqual(act.device, name, act.what);
      await context.close();
    });

  await browser.close();
  await h.end();
})();
