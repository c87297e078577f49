// Every page in a real browser: no violation of WCAG 2.2 AA on any ground and
// size, valid HTML, nothing asked of another machine, nothing in the console,
// no page wider than the screen.
'use strict';
const assert = require('node:assert');
const fs = require('node:fs');
const { chromium } = require('playwright-core');
const { HtmlValidate } = require('html-validate');
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
const grounds = slow ? ['light'] : ['light', 'mid', 'dark'];
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
    'form-dup-name': 'off', // a row for each skein
  },
});

const pages = [
  '/', '/skein/1', '/skein/6', '/bath/1', '/log', '/log/quick', '/find',
  '/find?q=olive&mordant=iron', '/find?like=1', '/find?q=no-such-word',
  '/compare', '/compare?a=1&b=2', '/grid', '/grid?rows=round&pin=first bath,alum',
  '/fade', '/fade?bath=1', '/cupboard', '/record/material/1', '/record/skein',
  '/record/skein/1', '/record/card/1', '/record/supply', '/more', '/history',
  '/history?noun=skein&id=1', '/withdrawn', '/find?q=tansy', '/treat', '/treat?skein=1&kind=wash', '/cut?skein=1',
  '/record/reading?skein=1', '/record/sight?skein=1', '/skein/9999',
  '/measure', '/measure?skein=3', '/measure/3', '/measure/1?skein=1', ...(process.env.MORE_PAGES || '').split(' ').filter(Boolean),
];

// Looks at one page; what is wrong with it, in lines.
async function faults(context, url, where, runOnly) {
  const page = await context.newPage();
  const wrong = [];
  page.on('console', (m) => {
    if (!/404/.test(m.text())) wrong.push(`console: ${m.text()}`);
  });
  page.on('pageerror', (e) => wrong.push(`script: ${e.message}`));
  page.on('request', (r) => {
    if (!r.url().startsWith(url)) wrong.push(`asked ${r.url()}`);
  });
  await page.goto(url + where.slice(1));
  await page.evaluate(axe);
  const { violations } = await page.evaluate((only) => window.axe.run({
    runOnly: only,
  }), runOnly);
  for (const v of violations)
    wrong.push(`${v.id}: ${v.nodes.slice(0, 3).map((n) => n.html.slice(0, 120)
      + (n.any[0] ? ` (${n.any[0].message})` : '')).join(' | ')}`);
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
  await page.close();
  return wrong;
}

(async () => {
  const { url } = await h.serve(h.demoBook());
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

  for (const [size, options] of Object.entries(sizes).slice(0, slow ? 1 : 2))
    for (const ground of grounds) {
      const other = ground !== 'light' && !whole;
      if (other && size !== (ground === 'mid' ? 'phone' : 'desktop')) continue;
      const context = await browser.newContext(options);
      await context.addCookies([{ name: 'ground', value: ground, url }]);
      for (const where of pages)
        await h.test(`${size}, ${ground}: ${where}`, async () => {
          assert.deepStrictEqual(await faults(context, url, where,
            other ? contrast : tags), []);
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
  await browser.close();
  await h.end();
})();
