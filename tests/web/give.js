// What a dyer hands on, and takes in of another; a part of tasks.js.
'use strict';
const assert = require('node:assert');
const fs = require('node:fs');
const path = require('node:path');
const { text } = require('./finger');
const h = require('./harness');

module.exports = async (t, page, url, book) => {
  await t('15 results are handed on: what goes is shown, then saved as one file', async () => {
    await page.goto(`${url}more`);
    await page.getByRole('link', { name: 'Hand on' }).click();
    await page.getByText('What goes').first().waitFor();
    assert.match(await text(page), /What goes[^]*stay here/);
    await page.getByLabel('Skeins').fill('2');
    await page.getByRole('button', { name: 'Look what goes' }).click();
    assert.match(await text(page), /of the skeins come along, for they shared a pot/);
    const [file] = await Promise.all([page.waitForEvent('download'),
      page.getByRole('link', { name: 'Save the file' }).click()]);
    assert.match(file.suggestedFilename(), /^hanklab-\d{4}-\d\d-\d\d\.zip$/);
    const kept = path.join(h.folder(), 'kept.zip');
    await file.saveAs(kept);
    const other = path.join(h.folder(), 'book');
    h.hanklab(other, 'init', '--dyer', 'Guild');
    assert.match(h.hanklab(other, 'import', kept), /Comes in from Weaving group[^]*skeins/);
    assert.ok(!fs.readdirSync(path.join(book, 'cache')).some((n) => n.startsWith('going-')),
      'nothing is left of it here');
    // There it is looked at and taken in, changed on both sides, and looked at again.
    const there = await h.serve(other);
    const bring = async (zip) => {
      await page.goto(`${there.url}import`);
      await page.getByLabel('File').setInputFiles(zip);
      await page.getByRole('button', { name: 'Look at it' }).click();
    };
    await bring(kept);
    assert.match(await text(page), /Comes in from Weaving group[^]*skeins/);
    assert.doesNotMatch(h.hanklab(other, 'list'), /madder/, 'only looked at');
    await page.getByRole('button', { name: 'Take it in' }).click();
    await page.getByText('Saved.').waitFor();
    assert.match(h.hanklab(other, 'list'), /madder/);
    await page.goto(there.url);
    assert.ok(await page.locator('.hanks').evaluateAll((rows) => rows.every((row) => {
      const tags = [...row.querySelectorAll('.tag')].map((t) => t.getBoundingClientRect());
      return tags.every((t, i) => !i || t.left >= tags[i - 1].right - 1);
    })), 'long tags lie beside each other');
    h.hanklab(other, 'skein', 'edit', 'Weaving group/2', '--colour', 'brick');
    h.hanklab(book, 'skein', 'edit', '2', '--colour', 'sunset');
    h.hanklab(book, 'skein', 'edit', '3', '--note', 'softer now');
    const again = path.join(h.folder(), 'again.zip');
    h.hanklab(book, 'export', again, '2');
    await bring(again);
    const beside = (what) => page.locator(`h2:has-text("${what}") + table`).innerText();
    assert.match(await beside('it stays as it is here'),
      /Here\s+In the file\s+skein Weaving group\/2\s+Colour in your words\s+brick\s+sunset/);
    assert.match(await beside('taken over'),
      /skein Weaving group\/3\s+Note\s+not recorded\s+softer now/);
    await page.getByRole('button', { name: 'Take it in' }).click();
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByText('Taken back.').waitFor();
    const skein = (n) => h.hanklab(other, 'show', `Weaving group/${n}`);
    assert.doesNotMatch(skein(3), /softer now/);
    assert.match(skein(2), /brick/);
    const broken = path.join(h.folder(), 'broken.zip');
    fs.writeFileSync(broken, fs.readFileSync(kept).subarray(0, 900));
    await bring(broken);
    await page.getByRole('alert').getByText('this is not a zip file, or not all of it').waitFor();
    await page.goto(`${url}export?skeins=2&mordant=alum`);
    await page.getByRole('alert').getByText('not both').waitFor();
    await page.goto(`${url}export?mordant=tin`);
    await page.getByRole('alert').waitFor();
    assert.strictEqual(await page.getByRole('link', { name: 'Save the file' }).count(), 0);
  });
};
