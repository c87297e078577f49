// What a dyer does on the page, in a real browser: on a phone with a finger, at
// a table with a mouse, and with scripts off.
'use strict';
const assert = require('node:assert');
const path = require('node:path');
const { chromium } = require('playwright-core');
const h = require('./harness');

const ways = {
  'phone': { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
  'desktop': { viewport: { width: 1440, height: 900 } },
  'phone, scripts off': {
    viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true,
    javaScriptEnabled: false,
  },
  'desktop, scripts off': {
    viewport: { width: 1440, height: 900 }, javaScriptEnabled: false,
  },
};

const photo = (name) => path.join(h.fixtures, name);
const text = (page) => page.locator('main').innerText();

// Fills a form's fields by their labels.
async function fill(page, fields) {
  for (const [label, words] of Object.entries(fields))
    await page.getByLabel(label, { exact: true }).first().fill(words);
}

async function logMadder(page, url) {
  await page.goto(`${url}log`);
  await fill(page, {
    'Pot': 'Madder from the allotment', 'Dyestuff': 'madder root: 2:1',
    'Mordant': 'alum: 12 %', 'pH': '7-8', 'Heat': '62', 'Time': '1 h',
    'Day': '2025-04-25', 'Yarn': 'two-ply wool',
  });
  for (let i = 1; i <= 6; i++)
    await page.getByLabel(`Skein ${i} of this pot: dry weight`).fill(`${19 + i} g`);
}

async function tasks(name, options, browser) {
  const book = h.newBook();
  const { url } = await h.serve(book);
  const context = await browser.newContext(options);
  const page = await context.newPage();
  page.setDefaultTimeout(15000);
  const t = (what, body) => h.test(`${name}: ${what}`, body);

  await t('1 a name and a photo at the pot, finished tomorrow', async () => {
    await page.goto(`${url}log/quick`);
    await fill(page, { Name: 'dark one from the second pot' });
    await page.getByLabel('Photo').setInputFiles(photo('undyed.jpg'));
    await page.getByRole('button', { name: 'Save unfinished' }).click();
    await page.goto(url);
    assert.match(await text(page), /Unfinished:\s*dark one from the second pot/);
    await page.getByRole('link', { name: 'Finish it' }).click();
    await page.getByLabel('weight', { exact: true }).fill('1 3/4 oz');
    await page.getByLabel('finished').selectOption('yes');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    assert.match(await text(page), /1 3\/4 oz, read as 49\.61 g/);
    await page.goto(url);
    assert.doesNotMatch(await text(page), /Unfinished/);
  });

  await t('2 six skeins of one pot, shared facts typed once', async () => {
    await logMadder(page, url);
    await page.getByRole('button', { name: 'How is it read?' }).click();
    assert.match(await text(page), /270 g for 135 g|135 g for/);
    assert.match(await text(page), /Nothing is saved yet/);
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    assert.match(await text(page), /Saved\./);
    const list = JSON.parse(h.hanklab(book, 'list', '--json'));
    assert.strictEqual((list.skeins || list).length, 7);
    await page.goto(`${url}log/again`);
    assert.strictEqual(await page.getByLabel('Dyestuff').first().inputValue(),
      'madder root: 2:1');
  });

  if (options.javaScriptEnabled !== false)
    await t('2 what is typed outlives a closed page, until it is saved', async () => {
      await page.goto(`${url}log`);
      await fill(page, { Pot: 'half typed', Dyestuff: 'tansy' });
      await page.getByText('Kept on this device').waitFor();
      await page.goto(`${url}log`);
      assert.strictEqual(await page.getByLabel('Pot', { exact: true }).inputValue(), 'half typed');
      await page.getByRole('button', { name: 'Save', exact: true }).click();
      await page.getByText('Saved.').waitFor();
      await page.getByRole('button', { name: 'Undo' }).click();
      await page.goto(`${url}log`);
      assert.strictEqual(await page.getByLabel('Pot', { exact: true }).inputValue(), '');
    });

  await t('3 a grid of skeins: 25 numbers, colours over days', async () => {
    await page.goto(`${url}log`);
    await fill(page, {
      'Pot': 'Weld by the fence', 'Dyestuff': 'weld: 100 %',
      'Mordant': 'alum: 12 %', 'Each weighs': '10 g', 'How many in all': '25',
    });
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.goto(url);
    assert.strictEqual(await page.locator('.hanks li').count(), 1 + 6 + 25);
    assert.match(await text(page), /\b32\b/);
  });

  await t('5 find, compare, fade and grid', async () => {
    for (const [skein, lab] of [[2, '42,45,28'], [3, '48,-3,31'], [4, '38,-1,16']])
      h.hanklab(book, 'reading', 'add', String(skein), '--lab', lab, '--u',
        '0.6,0.5,0.6', '--illuminant', 'D50', '--observer', '2', '--geometry',
        '45/0');
    await page.goto(`${url}find`);
    await page.getByLabel('What gave me').fill('olive');
    await page.getByRole('button', { name: 'Find' }).click();
    assert.match(page.url(), /q=olive/);
    assert.match(await text(page), /2 skeins for olive/);
    await page.getByRole('link', { name: 'Lay the first two side by side' }).click();
    assert.match(await text(page), /different|match|cannot tell/);
    await page.goto(`${url}grid?mordant=alum`);
    assert.match(await text(page), /madder root/);
    await page.goto(`${url}fade?bath=2`);
    assert.match(await text(page), /first bath/);
  });

  await t('6 a name corrected once, every record follows', async () => {
    await page.goto(`${url}cupboard`);
    await page.getByRole('link', { name: 'madder root' }).click();
    await page.getByLabel('name', { exact: true }).fill('garden madder');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.goto(`${url}skein/2`);
    assert.match(await text(page), /garden madder on alum/);
    const found = JSON.parse(h.hanklab(book, 'find', '--dyestuff', 'madder root',
      '--json'));
    assert.ok((found.skeins || found.rows || found).length > 0,
      'the old name is still found');
  });

  await t('7 undo what was just done; withdrawn is brought back', async () => {
    await page.goto(`${url}record/water`);
    await page.getByLabel('name', { exact: true }).fill('rain from the barrel');
    await page.getByRole('button', { name: 'Save', exact: true }).click();
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.goto(`${url}cupboard`);
    assert.doesNotMatch(await text(page), /rain from the barrel/);
    await page.goto(`${url}record/skein/3`);
    await page.getByRole('button', { name: 'Withdraw' }).click();
    await page.goto(`${url}record/skein/3`);
    await page.getByRole('button', { name: 'Bring back' }).click();
    await page.goto(url);
    assert.match(await text(page), /\b3\b/);
  });

  await context.close();
}

(async () => {
  const browser = await chromium.launch({
    executablePath: process.env.CHROMIUM || '/usr/bin/chromium',
    args: ['--no-sandbox'],
  });
  for (const [name, options] of Object.entries(ways))
    await tasks(name, options, browser);
  await browser.close();
  await h.end();
})();
