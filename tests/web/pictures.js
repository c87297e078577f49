// Draws the pictures of docs/page.md anew from the demo book.
'use strict';
const path = require('node:path');
const { chromium } = require('playwright-core');
const h = require('./harness');

const pictures = {
  'rack': { where: '', height: 900 },
  'skein': { where: 'skein/32', height: 900 },
  'find': { where: 'find?q=olive', height: 900 },
  'fade': { where: 'fade?bath=1', height: 800 },
  'palette': { where: 'palette?aim=apart&members=5', height: 980 },
  'grid': { where: 'grid?pin=weld,alum', height: 900 },
  'print': { where: 'print/tags?which=1-6,30-32,108-131', height: 900 },
  'log-phone': { where: 'log', phone: true },
  'measure': { where: 'measure/1', height: 900 },
};

(async () => {
  const { url } = await h.serve(h.demoBook());
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM || '/usr/bin/chromium',
    args: ['--no-sandbox'],
  });
  for (const [name, p] of Object.entries(pictures)) {
    const page = await browser.newPage(p.phone
      ? { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true }
      : { viewport: { width: 1280, height: p.height } });
    await page.goto(url + p.where);
    await page.screenshot({ path: path.join(h.root, `docs/page-${name}.png`) });
    await page.close();
  }
  await browser.close();
  await h.test('the pictures of docs/page.md are drawn', async () => {});
  await h.end();
})();
