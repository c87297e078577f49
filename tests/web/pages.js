// Every page in a real browser: no violation of WCAG 2.2 AA on any ground and
// size, valid HTML, nothing asked of another machine, nothing in the console,
// no page wider than the screen.
'use strict';
const assert = require('node:assert');
const fs = require('node:fs');
const { chromium } = require('playwright-core');
const { HtmlValidate } = require('html-validate');
const { letIn, share } = require('./ask');
const h = require('./harness');

const axe = fs.readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');
const sizes = {
  phone: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
  desktop: { viewport: { width: 1440, height: 900 } },
};
// The slower build of the same pages needs one look at each. Grounds differ in
// nothing but colours, so that contrast is looked at on the others, each at one
// size; HANKLAB_TEST_WHOLE=1 looks at everything everywhere.
const slow = h.build.includes('address');
const whole = Boolean(process.env.HANKLAB_TEST_WHOLE);
const grounds = (size) => slow ? [] : whole ? ['mid', 'dark']
  : [size === 'phone' ? 'mid' : 'dark'];
const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
const contrast = { type: 'rule', values: ['color-contrast'] };

const validator = new HtmlValidate({
  extends: ['html-validate:recommended'],
  rules: {
    // A style of writing, not of validity: these stay as they are written.
    'void-style': 'off',
    'doctype-style': ['error', { style: 'lowercase' }],
    'no-implicit-input-type': 'off', // text is what is meant
    'no-trailing-whitespace': 'off',
    'no-raw-characters': 'off',
    'long-title': 'off',
    'attribute-boolean-style': 'off',
    'no-inline-style': 'error',
    'prefer-native-element': 'off',
    'tel-non-breaking': 'off',
    'wcag/h63': 'off', // scope= stands where a table has two kinds of heading
    'text-content': 'off',
    'prefer-button': 'off', // only an image tells where it was tapped
    'form-dup-name': 'off', // a row for each skein
  },
});

const pages = [
  '/plan',
  '/plan/blanket%20stripe',
  '/plan/blanket%20stripe?step=3',
  '/',
  '/skein/1',
  '/skein/6',
  '/bath/1',
  '/log',
  '/log/quick',
  '/find',
  '/find?q=olive&mordant=iron',
  '/find?like=1',
  '/find?q=no-such-word',
  '/find?q=purple',
  '/find?light=60',
  '/find?area=0..20,0..20&colour=50,20,-20',
  '/find?colour=40,44,25&cov=1,0,0,1,0,1',
  '/find?light=40&at.x=215&at.y=170',
  '/compare',
  '/compare?a=1&b=2',
  '/repeat?skein=1',
  '/repeat?skein=33&heat=any',
  '/repeat?skein=1&heat=no',
  '/match',
  '/match?to=olive',
  '/match?to=nothing',
  '/palette',
  '/palette?aim=apart&members=4',
  '/palette?aim=fit&fit=',
  '/palette?aim=apart&members=4&foretold=yes&keep=foretold 1 alum&was=1&apart=5',
  '/palette?aim=apart&members=3&apart=far',
  '/grid',
  '/grid?rows=round&pin=first bath,alum',
  '/grid?rows=per-fibre',
  '/fade',
  '/fade?bath=1',
  '/fade?bath=1&bath=2',
  '/cupboard',
  '/record/material/1',
  '/record/skein',
  '/record/skein/1',
  '/record/card/1',
  '/record/supply',
  '/more',
  '/import',
  '/devices',
  '/copies',
  '/split',
  '/split?weight=100+g&length=400+m&reserve=10+%25&loop=1.5+m&pieces=A+%3D+120+m%0A8+x+40+m',
  '/split?pieces=12',
  '/history',
  '/history?noun=skein&id=1',
  '/history?noun=entry&id=2',
  '/history?act=3',
  '/history?before=3',
  '/export?skeins=1-3&places=yes',
  '/export?plans=yes',
  '/export?skeins=none-such',
  '/withdrawn',
  '/find?q=tansy',
  '/treat',
  '/treat?skein=1&kind=wash',
  '/cut?skein=1',
  '/print',
  '/print/tags',
  '/print/tags?which=1-3,8,108-131&paper=letter',
  '/print/tags?which=nine',
  '/print/cards?which=1,6,15',
  '/print/bath?which=1',
  '/print/skein?which=6',
  '/print/photo?paper=letter',
  '/print/plan',
  '/print/weigh?weight=22+g&mordant=alum%3A+12+%25&dyestuff=madder%3A+2%3A1',
  '/print/weigh',
  '/fastness',
  '/fastness?mordant=alum',
  '/fastness/1',
  '/fastness/3',
  '/fastness?skein=1',
  '/record/test/1',
  '/find?fastness=3',
  '/reckon',
  '/reckon?weight=22+g&mordant=alum%3A+12+%25&mordant=iron%3A+2+%25&dyestuff=madder%3A+2%3A1&water=30%3A1&pot=6+l&stock=1+l+of+10+%25&unit=180+F',
  '/reckon?weight=soup',
  '/record/reading?skein=1',
  '/record/sight?skein=1',
  '/skein/9999',
  '/measure',
  '/measure?skein=3',
  '/measure/3',
  '/measure/1?skein=1',
  ...(process.env.MORE_PAGES || '').split(' ').filter(Boolean),
];

// What only a form that was filled in shows: where it is, its fields, and what
// must then stand on the page. Boxes lie as fixtures/truth.csv has them.
const card = '79,338,281,403';
const one = '490,375,172,557';
const filled = {
  'measured, with more of known colour': ['/measure/1', {
    'do': 'try', 'card-box': card, 'box': one, 'as': 'skein', 'who': '1',
    'known-is': 'card', 'known-what': '', 'known-box': '90,350,100,200',
    'chart-values': 'id,x,y,w,h,L,a,b\nA1,150,400,100,100,49.6,-0.3,0.5\n',
  }, /the card again \(A\)/],
  'a place to put right': ['/measure/1', {
    'do': 'try', 'card-box': card, 'box': one, 'as': 'look', 'who': '',
    'known-is': 'neutral', 'known-what': '40,40,40', 'known-box': one,
  }, /is no neutral/],
  'a chart without its values': ['/measure/1', {
    'do': 'try', 'card-box': card, 'box': one, 'as': 'look', 'who': '',
    'chart-corners': '1,1 200,1 200,200 1,200',
  }, /values are missing/],
  'a note with its place': ['/measure/1', {
    'do': 'try', 'card': 'unknown', 'card-box': card, 'box': one, 'as': 'look',
    'who': '',
  }, /What would make it better/],
  'a pot of a dyer who is not there': ['/log', {
    'do': 'try', 'name': 'weld', 'dyestuff': 'weld: 30 %', 'dyer': 'Guild',
  }, /New dyer&#34; in the cupboard[^]*name="dyer"[^>]* aria-invalid="true"/],
  'a reading of an instrument without its light': ['/record/reading', {
    'skein': '1', 'lab': '40,30,20', 'source': 'instrument',
  }, /id="f-illuminant"[^>]* aria-invalid="true"/],
  'a colour of no amount': ['/plan?new=yes', {
    'do': 'save', 'name': 'cushion', 'c-name': 'rust', 'c-amount': 'soup',
    'c-dyestuff': 'madder: 60 %', 'c-mordant': '', 'c-round': '', 'c-dip': '',
    'c-like': '', 'c-on': '', 'time': 'dye=70 C, 45 min',
  }, /id="c-amount-0"[^>]* aria-invalid="true"/],
  'a wash before a step that is not there': ['/treat', {
    'do': 'try', 'kind': 'wash', 'skein': '1', 'before': '99',
  }, /name="before"[^>]* aria-invalid="true"/],
  'a list from a spreadsheet, matched': ['/import', {
    'file': new Blob(['Name;Yarn;Weight (oz);Mordant;Mordant %;Price\na;two-ply;2 1/4;alum;120;3,20\n']),
  }, /Take in 1 skein[^]*Weight \(oz\) is/],
  'a list with rows that cannot be read': ['/import', {
    'file': new Blob(['Name,pH,L,a,b\na,77,40,1,2\n']),
    'all-source': 'eye',
  }, /line 2: ph: "77"|line 2: ph: &#34;77/],
  'a wash before the dyeing, as it is read': ['/treat', {
    'do': 'try', 'kind': 'wash', 'skein': '1', 'before': 'dye',
  }, /Read as[^]*name="before" value="dye"/],
};

// The answer to a form.
async function answered(url, where, fields) {
  const page = await (await fetch(url + where.slice(1))).text();
  const form = new FormData();
  form.set('token', /name="token" value="([0-9a-f]+)"/.exec(page)[1]);
  for (const [name, value] of Object.entries(fields)) {
    if (value instanceof Blob) form.set(name, value, 'list.csv');
    else form.set(name, value);
  }
  return (await fetch(url + where.slice(1), { method: 'POST', body: form })).text();
}

// What axe finds wrong on the page as it stands, in lines.
async function violations(page, runOnly) {
  const { violations: found } = await page.evaluate((only) => window.axe.run({
    runOnly: only,
  }), runOnly);
  return found.map((v) => `${v.id}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 120)
      + (n.any[0] ? ` (${n.any[0].message})` : '')).join(' | ')}`);
}

// A page to look through others with; what they complain of goes to page.wrong.
async function watched(context, url) {
  const page = await context.newPage();
  page.wrong = [];
  page.on('console', (m) => {
    if (!/404/.test(m.text())) page.wrong.push(`console: ${m.text()}`);
  });
  page.on('pageerror', (e) => page.wrong.push(`script: ${e.message}`));
  page.on('request', (r) => {
    if (!r.url().startsWith(url)) page.wrong.push(`asked ${r.url()}`);
  });
  return page;
}

// Looks at one address, or at an answer that stands in for it, and at its
// contrast on the other grounds; what is wrong with it, in lines.
async function faults(page, url, where, others, answer) {
  const wrong = page.wrong = [];
  const fulfil = (route) => route.fulfill({
    contentType: 'text/html; charset=utf-8', body: answer });
  if (answer) await page.route(url + where.slice(1), fulfil);
  await page.goto(url + where.slice(1));
  if (answer) await page.unroute(url + where.slice(1), fulfil);
  await page.evaluate(axe);
  wrong.push(...await violations(page, tags));
  const wide = await page.evaluate(() => document.documentElement.scrollWidth
    - document.documentElement.clientWidth);
  if (wide > 0) wrong.push(`${wide} px wider than the screen`);
  const hued = await page.evaluate(() => [...document.querySelectorAll('body *')]
    .flatMap((e) => {
      const s = getComputedStyle(e);
      return ['color', 'backgroundColor', 'borderTopColor', 'outlineColor']
        .filter((k) => {
          const c = /rgba?\((\d+), (\d+), (\d+)/.exec(s[k]);
          return c && !(c[1] === c[2] && c[2] === c[3]) && !e.closest('svg');
        }).map((k) => `${e.tagName}.${e.className} ${k} ${s[k]}`);
    }));
  if (hued.length) wrong.push(`colour that is no yarn's: ${hued[0]}`);
  for (const ground of others) {
    await page.evaluate((g) => { document.documentElement.dataset.ground = g; }, ground);
    wrong.push(...(await violations(page, whole ? tags : contrast))
      .map((w) => `${ground}: ${w}`));
  }
  return wrong;
}

(async () => {
  h.hanklab(h.demoBook(), 'plan', 'make', 'blanket stripe',
    'rust = 40 g; dyestuff=madder: 60 %; mordant=alum: 12 %',
    'fox = 30 g; dyestuff=madder: 60 %; mordant=alum: 12 %; round=exhaust 1',
    'gold = 20 g; dyestuff=weld: 1:1; mordant=alum: 12 %; dip=iron: 2 %');
  h.hanklab(h.demoBook(), 'plan', 'done', '1');
  const shared = await share(h.demoBook());
  const url = `http://127.0.0.1:${shared.port}/`;
  const [cookie, token] = (await letIn(h.demoBook(), shared, 'phone by the stove'))
    .cookie.split('=');
  h.hanklab(h.demoBook(), 'device', 'add'); // for the page that shows a code
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM || '/usr/bin/chromium',
    args: ['--no-sandbox'],
  });

  for (const where of pages)
    await h.test(`valid HTML: ${where}`, async () => {
      const html = await (await fetch(url + where.slice(1))).text();
      const report = await validator.validateString(html);
      assert.deepStrictEqual(report.results.flatMap((r) => r.messages
        .map((m) => `${m.line}:${m.column} ${m.ruleId} ${m.message}`)), []);
    });

  const answers = {};
  for (const [name, [where, fields, shows]] of Object.entries(filled))
    await h.test(`valid HTML: ${name}`, async () => {
      answers[name] = await answered(url, where, fields);
      assert.match(answers[name], shows);
      const report = await validator.validateString(answers[name]);
      assert.deepStrictEqual(report.results.flatMap((r) => r.messages
        .map((m) => `${m.line}:${m.column} ${m.ruleId} ${m.message}`)), []);
    });

  // Both sizes at once: a browser on a second processor.
  await Promise.all(Object.entries(sizes).slice(0, slow ? 1 : 2).map(async ([size, options]) => {
    const context = await browser.newContext(options);
    await context.addCookies([{ name: 'ground', value: 'light', url }]);
    const page = await watched(context, url);
    for (const where of pages)
      await h.test(`${size}: ${where}`, async () => {
        assert.deepStrictEqual(await faults(page, url, where, grounds(size)), []);
      });
    for (const [name, answer] of Object.entries(answers))
      await h.test(`${size}: ${name}`, async () => {
        assert.deepStrictEqual(await faults(page, url, filled[name][0],
          grounds(size), answer), []);
      });
    await context.close();
  }));

  // What others see of it: one that was not let in, and one that was.
  for (const [size, options] of Object.entries(sizes)) {
    const context = await browser.newContext(options);
    const page = await watched(context, shared.url);
    await h.test(`${size}, shared: /pair`, async () => {
      assert.deepStrictEqual(await faults(page, shared.url, '/pair?code=123456', []), []);
      const report = await validator.validateString(await (await fetch(`${shared.url}pair`)).text());
      assert.ok(report.valid, JSON.stringify(report.results));
    });
    await context.addCookies([{ name: cookie, value: token, url: shared.url }]);
    await h.test(`${size}, shared: /devices`, async () => {
      assert.deepStrictEqual(await faults(page, shared.url, '/devices', []), []);
    });
    await context.close();
  }

  await h.test('on paper: the yarn and its record, no buttons', async () => {
    const page = await browser.newPage();
    for (const where of ['/skein/1', '/bath/1', '/']) {
      await page.goto(url + where.slice(1));
      await page.emulateMedia({ media: 'print' });
      assert.deepStrictEqual(await page.evaluate(() =>
        [...document.querySelectorAll('nav, button, input, .btn')]
          .filter((e) => e.checkVisibility())
          .map((e) => e.outerHTML.slice(0, 80))), [], where);
      await page.emulateMedia({ media: null });
    }
    await page.goto(`${url}skein/1`);
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    assert.strictEqual(pdf.match(/\/Type \/Page\b/g)?.length, 1, 'sheets');
    await page.close();
  });
  await h.test('the rack far from the window is found, tabbed to and printed', async () => {
    const page = await browser.newPage({ viewport: { width: 1280, height: 400 } });
    const drawn = () => page.evaluate(() => [...document.querySelectorAll('.hanks')]
      .map((e) => e.checkVisibility({ contentVisibilityAuto: true })));
    const inView = async (words) => assert.ok(await page.locator('.bath').last()
      .evaluate((e) => new Promise((resolve) => requestAnimationFrame(() => {
        const { top, bottom } = e.getBoundingClientRect();
        resolve(bottom > 0 && top < innerHeight);
      }))), words);
    await page.goto(url);
    assert.strictEqual((await drawn()).at(-1), false, 'not drawn before it is near');
    assert.ok(await page.evaluate(() => window.find('never in a bath')), 'found');
    await inView('found');
    await page.goto(url);
    await page.locator('main a').last().focus();
    await page.keyboard.press('Shift+Tab');
    assert.ok(await page.locator('.hanks a').last()
      .evaluate((e) => e === document.activeElement), 'the last hank');
    await inView('tabbed to');
    await page.goto(url);
    await page.emulateMedia({ media: 'print' });
    assert.ok((await drawn()).every(Boolean), 'printed');
    await page.close();
  });
  await h.test('on paper: sheets, and nothing of the page round them', async () => {
    const page = await browser.newPage();
    // On Letter the cautions of the demo's mordants have a sheet of their own.
    for (const [where, sheets] of [['tags?which=1-48', 2], ['cards?which=1-9', 2],
      ['tags?which=1-48&paper=letter', 3], ['bath?which=2', 1],
      ['skein?which=6', 1], ['photo', 1], ['weigh?weight=22+g&mordant=alum', 1]]) {
      await page.goto(`${url}print/${where}`);
      await page.emulateMedia({ media: 'print' });
      assert.deepStrictEqual(await page.evaluate(() =>
        [...document.querySelectorAll('main *, nav, button, input')]
          .filter((e) => e.checkVisibility() && !e.closest('.sheet')
            && !e.matches('.desk, link'))
          .map((e) => e.outerHTML.slice(0, 80))), [], where);
      await page.emulateMedia({ media: null });
      const made = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
      assert.strictEqual(made.match(/\/Type \/Page\b/g)?.length, sheets, where);
    }
    await page.close();
  });
  await browser.close();
  await h.end();
})();
