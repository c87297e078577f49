// What a dyer brings in from elsewhere; a part of tasks.js.
'use strict';
const assert = require('node:assert');
const { text } = require('./finger');
const h = require('./harness');

module.exports = async (t, page, url, book) => {
  await t('14 a list from a spreadsheet: put right, looked at, taken in, taken back', async () => {
    const list = (words) => ({ name: 'list.csv', mimeType: 'text/csv', buffer: Buffer.from(words) });
    const before = JSON.parse(h.hanklab(book, 'list', '--json')).length;
    await page.goto(`${url}more`);
    await page.getByRole('link', { name: 'Take in' }).click();
    await page.getByLabel('File').setInputFiles(list(
      'Sample;Weight;Mordant;Mordant how much;pH;L*;a*;b*\n'
      + 's1;20,5;alum;12;7;40,1;2;3\ns2;20;alum;12;77;;;\n'));
    await page.getByRole('button', { name: 'Look at it' }).click();
    assert.match(await text(page), /say how the colours were read/);
    await page.getByLabel('Colour read by').selectOption('eye');
    await page.getByLabel('Mordant how much is').selectOption('How much mordant');
    await page.getByRole('button', { name: 'Look at it so' }).click();
    assert.match(await text(page), /line 2: mordant-amount: is "12" percent or grams/i);
    assert.match(await text(page), /line 3/i);
    await page.getByLabel('Numbers of Mordant how much are in').selectOption('%');
    await page.getByRole('button', { name: 'Look at it so' }).click();
    assert.match(await text(page), /line 3: ph: "77"/i);
    assert.match(await text(page), /1 of 2 rows cannot be read: nothing was taken in/);
    // Put right in the sheet, where a column was moved: what was chosen stays.
    await page.getByLabel('The file, put right').setInputFiles(list(
      'Mordant how much;Sample;Weight;Mordant;pH;L*;a*;b*\n'
      + '12;s1;20,5;alum;7;40,1;2;3\n12;s2;20;alum;7,7;;;\n'));
    await page.getByRole('button', { name: 'Look at it so' }).click();
    assert.match(await text(page), /Comes in: 2 skeins/);
    const good = list('Sample;Weight;Mordant;Mordant %\ns1;20,5;alum;12\ns2;20;alum;12\n');
    for (const again of [false, true]) {
      await page.goto(`${url}import`);
      await page.getByLabel('File').setInputFiles(good);
      await page.getByRole('button', { name: 'Look at it' }).click();
      if (again) break;
      assert.match(await text(page), /Comes in: 2 skeins/);
      // What is chosen anew is looked at before it is taken in.
      await page.getByLabel('Sample is').selectOption('Code on its tag');
      await page.getByRole('button', { name: 'Take in 2 skeins' }).click();
      assert.match(await text(page), /Comes in: 2 skeins/);
      await page.getByRole('button', { name: 'Take in 2 skeins' }).click();
      assert.match(await text(page), /Saved\./);
    }
    assert.match(await text(page), /Nothing new comes in[^]*2 rows are here already/);
    assert.strictEqual(JSON.parse(h.hanklab(book, 'list', '--json')).length, before + 2);
    assert.match(h.hanklab(book, 'show', 's1'), /20,5[^]*alum, 12 % of the fibre: 2\.46 g/);
    h.hanklab(book, 'undo');
    assert.strictEqual(JSON.parse(h.hanklab(book, 'list', '--json')).length, before);
  });
};
