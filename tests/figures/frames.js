// frames.js BOOK: how many bytes a first visit takes, and how smoothly the rack
// of that book is scrolled, as tables for docs/performance.md. Ends with 127
// where Chromium or playwright-core is not there.
'use strict';
const fs = require('node:fs');
const http = require('node:http');
const zlib = require('node:zlib');
const h = require('../web/harness');

let chromium;
const program = process.env.CHROMIUM || '/usr/bin/chromium';
try {
  ({ chromium } = require('../web/node_modules/playwright-core'));
  fs.accessSync(program);
} catch {
  process.exit(127);
}

// An answer as it comes over the wire, for a browser that takes gzip.
function get(url) {
  return new Promise((resolve, reject) => {
    http.get(url, { headers: { 'Accept-Encoding': 'gzip' } }, (res) => {
      const parts = [];
      res.on('data', (bytes) => parts.push(bytes));
      res.on('end', () => {
        const sent = Buffer.concat(parts);
        const zipped = res.headers['content-encoding'] === 'gzip';
        resolve({ sent: sent.length, body: zipped ? zlib.gunzipSync(sent) : sent });
      });
    }).on('error', reject);
  });
}

// The page and what it needs to be drawn, pictures apart.
async function bytes(base, path) {
  const page = await get(base + path);
  const html = page.body.toString();
  const needed = [...html.matchAll(/(?:href|src)="(\/a\/[^"]+\.(?:css|js))"/g)];
  const all = [page];
  for (const address of new Set(needed.map((m) => m[1])))
    all.push(await get(base + address));
  const sum = (of) => all.reduce((n, a) => n + of(a), 0);
  return {
    page: page.body.length,
    plain: sum((a) => a.body.length),
    gzip: sum((a) => zlib.gzipSync(a.body, { level: 6 }).length),
    sent: sum((a) => a.sent),
  };
}

const kb = (n) => (n / 1000).toFixed(1);

async function tellBytes(base) {
  console.log('\n| first visit, kB | the page | with style and scripts | gzipped'
    + ' | as sent | reach | reached |\n|---|---|---|---|---|---|---|');
  for (const [name, path] of [['the rack', '/'], ['a skein', '/skein/500'],
    ['find', '/find?q=olive'], ['measure', '/measure'], ['log', '/log']]) {
    const b = await bytes(base, path);
    console.log(`| ${name} | ${kb(b.page)} | ${kb(b.plain)} | ${kb(b.gzip)} | `
      + `${kb(b.sent)} | 60 | ${b.sent <= 60000 ? 'yes' : '**no**'} |`);
  }
}

// All that the browser's main thread did while the rack was scrolled to its end.
async function trace(page, url) {
  const cdp = await page.context().newCDPSession(page);
  const events = [];
  cdp.on('Tracing.dataCollected', ({ value }) => events.push(...value));
  await page.goto(url);
  await cdp.send('Tracing.start', {
    transferMode: 'ReportEvents',
    traceConfig: { includedCategories: ['toplevel', 'devtools.timeline',
      'disabled-by-default-devtools.timeline', 'disabled-by-default-devtools.timeline.frame'] },
  });
  await page.mouse.move(600, 500);
  const ticks = await page.evaluate(() => new Promise((resolve) => {
    const at = [];
    const tick = (t) => {
      at.push(t);
      window.scrollBy(0, 40);
      if (at.length < 240) requestAnimationFrame(tick);
      else resolve(at);
    };
    requestAnimationFrame(tick);
  }));
  const done = new Promise((resolve) => cdp.once('Tracing.tracingComplete', resolve));
  await cdp.send('Tracing.end');
  await done;
  return { events, ticks };
}

const percentile = (sorted, p) => sorted[Math.min(sorted.length - 1,
  Math.floor(p * sorted.length))];

async function tellFrames(base) {
  const browser = await chromium.launch({ executablePath: program });
  const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
  const { events, ticks } = await trace(page, base);
  const main = events.find((e) => e.name === 'thread_name'
    && e.args.name === 'CrRendererMain'
    && events.some((o) => o.name === 'FireAnimationFrame' && o.tid === e.tid && o.pid === e.pid));
  const tasks = events.filter((e) => e.ph === 'X' && e.name.includes('RunTask')
    && e.pid === main.pid && e.tid === main.tid);
  const wall = tasks.map((e) => e.dur / 1000).sort((a, b) => a - b);
  const cpu = tasks.map((e) => (e.tdur || 0) / 1000).sort((a, b) => a - b);
  const frames = ticks.slice(1).map((t, i) => t - ticks[i]).sort((a, b) => a - b);
  const row = (words, is, most) => console.log(`| ${words} | ${is.toFixed(1)} ms | `
    + `${most} ms | ${is <= most ? 'yes' : '**no**'} |`);
  console.log('\n| the rack of 1,000 skeins scrolled in Chromium, its trace | is | reach |'
    + ' reached |\n|---|---|---|---|');
  row('from frame to frame, 95th percentile', percentile(frames, 0.95), 17);
  row('the longest task of the page', wall[wall.length - 1], 50);
  row('the same, its processor time', cpu[cpu.length - 1], 50);
  await browser.close();
}

(async () => {
  const server = await h.serve(process.argv[2]);
  const base = server.url.replace(/\/$/, '');
  await tellBytes(base);
  await tellFrames(base);
  server.child.removeAllListeners('exit');
  server.child.kill('SIGTERM');
  process.exit(0);
})().catch((e) => {
  console.error(e);
  process.exit(1);
});
