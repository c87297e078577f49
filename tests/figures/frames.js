// frames.js BOOK: how many bytes a first visit takes, and how smoothly the rack
// of that book is scrolled, as tables for docs/performance.md. Ends with 127
// where Chromium or playwright-core is not there.
'use strict';
const fs = require('node:fs');
const http = require('node:http');
const zlib = require('node:zlib');
const h = require('../web/harness');

const ROUNDS = 3;

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

// All that a browser did while a page was opened and scrolled by 240 frames.
async function trace(page, url) {
  const cdp = await page.context().newCDPSession(page);
  const events = [];
  cdp.on('Tracing.dataCollected', ({ value }) => events.push(...value));
  await cdp.send('Tracing.start', {
    transferMode: 'ReportEvents',
    traceConfig: { includedCategories: ['toplevel', 'devtools.timeline',
      'disabled-by-default-devtools.timeline', 'disabled-by-default-devtools.timeline.frame'] },
  });
  await page.goto(url);
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

const percentile = (all, p) => [...all].sort((a, b) => a - b)[
  Math.min(all.length - 1, Math.floor(p * all.length))];

// In ms. The trace's processor time is the page's own; a task's time from
// beginning to end has in it what else the machine does.
function figures({ events, ticks }) {
  const main = events.find((e) => e.name === 'thread_name'
    && e.args.name === 'CrRendererMain'
    && events.some((o) => o.name === 'FireAnimationFrame' && o.tid === e.tid && o.pid === e.pid));
  const tasks = events.filter((e) => e.ph === 'X' && e.name === 'RunTask'
    && e.pid === main.pid && e.tid === main.tid);
  const cpu = tasks.map((e) => (e.tdur || 0) / 1000);
  const steps = events.filter((e) => e.name === 'FireAnimationFrame'
    && e.pid === main.pid && e.tid === main.tid);
  const scrolled = tasks.filter((e) =>
    steps.some((o) => o.ts >= e.ts && o.ts < e.ts + e.dur));
  return {
    frame: percentile(ticks.slice(1).map((t, i) => t - ticks[i]), 0.95),
    task: Math.max(...tasks.map((e) => e.dur / 1000)),
    cpu: Math.max(...cpu),
    step: percentile(scrolled.map((e) => e.tdur / 1000), 0.95),
    sum: cpu.reduce((a, b) => a + b, 0),
  };
}

// The rack and, as a yardstick, a page of its height with 1,000 grey boxes and
// nothing else, in turn: medians of the rounds.
async function tellFrames(base) {
  const taken = { plain: [], rack: [] };
  let height;
  for (let round = 0; round <= ROUNDS; round++)
    for (const name of ['rack', 'plain']) {
      const browser = await chromium.launch({ executablePath: program });
      const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
      await page.route('**/plain', (route) => route.fulfill({
        contentType: 'text/html',
        body: '<!doctype html><style>p { width: 50px; margin: 0 0 2px; background: #999; '
          + `height: ${height / 1000 - 2}px }</style>${'<p></p>'.repeat(1000)}`,
      }));
      const seen = await trace(page, base + (name === 'rack' ? '/' : '/plain'));
      if (name === 'rack')
        height = await page.evaluate(() => document.documentElement.scrollHeight);
      if (round) // the first has the disk in it
        taken[name].push(figures(seen));
      await browser.close();
    }
  const row = (words, of, most) => {
    const [plain, rack] = ['plain', 'rack'].map((name) =>
      percentile(taken[name].map((f) => f[of]), 0.5));
    console.log(`| ${words} | ${plain.toFixed(1)} ms | ${rack.toFixed(1)} ms | ${
      most ? `${most} ms | ${rack <= most ? 'yes' : '**no**'}` : ' | '} |`);
  };
  console.log('\n| opened and scrolled in Chromium, its trace | 1,000 plain boxes'
    + ' | the rack of 1,000 skeins | reach | reached |\n|---|---|---|---|---|');
  row('from frame to frame, 95th percentile', 'frame', 17);
  row('a step of scrolling, processor time of the page, 95th percentile', 'step');
  row('the longest task of the page', 'task', 50);
  row('the same, its processor time', 'cpu', 50);
  row('all tasks of the page, their processor time', 'sum');
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
