// What a dyer does before the pot is lit; a part of tasks.js.
'use strict';
const assert = require('node:assert');
const { fill, text } = require('./finger');
const h = require('./harness');

module.exports = async (t, page, url, name) => {
  await t('12 weights are reckoned before the pot is lit', async () => {
    await page.goto(`${url}reckon`);
    await fill(page, { 'Dry weight of the fibre': '85 g', 'Mordant': 'alum: 12 %',
      'Assist': 'cream of tartar: 6 %', 'Water': '30:1',
      'Pot, how far it is filled': '6 l' });
    await page.getByRole('button', { name: 'Reckon' }).click();
    const said = await text(page);
    assert.match(said, /alum\s+10\.2 g/);
    assert.match(said, /cream of tartar\s+5\.1 g/);
    assert.match(said, /water\s+2\.55 l/);
    assert.match(said, /takes 200 g of fibre at most/);
    assert.match(said, /8 to 25 % is usual/);
    assert.match(said, /dust irritates/);
    await page.getByLabel('Mordant', { exact: true }).first().fill('alum: 120 %');
    await page.getByRole('button', { name: 'Reckon' }).click();
    assert.match(await text(page), /Was 12 % meant\?/);
    await page.getByLabel('Mordant', { exact: true }).first().fill('alum: -1 %');
    await page.getByRole('button', { name: 'Reckon' }).click();
    assert.match(await text(page), /mordant alum: "-1 %"/i);
  });

  // With scripts and without is enough of a long one.
  if (['phone', 'desktop, scripts off'].includes(name))
    // Weights by hand: 12 % of 40 + 30 + 30 + 60 + 40 g is 24 g, of which 20 g are
    // there; 60 % of 40 g and 1:1 of 60 g.
    await t('a blanket stripe: five colours of two dyestuffs, planned, begun, taken back', async () => {
      const sunday = new Date(Date.now() + 9 * 864e5);
      sunday.setDate(sunday.getDate() + (7 - sunday.getDay()) % 7);
      const ready = `${sunday.getFullYear()}-${String(sunday.getMonth() + 1)
        .padStart(2, '0')}-${String(sunday.getDate()).padStart(2, '0')} evening`;
      const row = async (i, fields) => {
        for (const [label, words] of Object.entries(fields))
          await page.getByLabel(`Colour ${i}: ${label}`, { exact: true }).fill(words);
      };
      const fresh = h.newBook();
      const at = (await h.serve(fresh)).url;
      h.hanklab(fresh, 'material', 'add', 'alum', '--kind', 'mordant');
      h.hanklab(fresh, 'supply', 'add', 'alum', '--amount', '20 g');
      await page.goto(`${at}more`);
      await page.locator('main').getByRole('link', { name: 'Plan', exact: true }).click();
      await fill(page, { 'Project': 'blanket stripe', 'Yarn': 'two-ply wool',
        'A hank is': '100 g = 400 m', 'Ready by': ready, 'Pots': '3 x 8 l',
        'Burners': '2', 'Mordant': 'alum: 12 %' });
      const colours = [['rust', '160 m', 'madder: 60 %', '', ''],
        ['fox', '120 m', 'madder: 60 %', 'exhaust 1', ''],
        ['peach', '120 m', 'madder: 60 %', 'exhaust 2', ''],
        ['gold', 'soup', 'weld: 1:1', '', ''],
        ['olive', '160 m', 'weld: 1:1', 'exhaust 1', 'iron: 2 %']];
      for (const [i, [colour, much, dyestuff, round, dip]] of colours.entries())
        await row(i + 1, { 'colour': colour, 'how much': much, dyestuff, round,
          'dip after': dip });
      await page.getByRole('button', { name: 'Plan and keep it' }).click();
      const wrong = page.getByLabel('Colour 4: how much', { exact: true });
      assert.strictEqual(await wrong.getAttribute('aria-invalid'), 'true');
      assert.match(await page.locator('#why').innerText(), /"soup" is not how much/);
      await wrong.fill('240 m');
      await page.getByRole('button', { name: 'How is it read?' }).click();
      assert.match(await text(page), /Nothing is saved yet[^]*5 colours, 15 steps/);
      assert.strictEqual(JSON.parse(h.hanklab(fresh, 'project', 'list', '--json'))
        .length, 0, 'nothing was kept');
      await page.getByRole('button', { name: 'Plan and keep it' }).click();
      await page.getByText('Saved.').waitFor();
      assert.match(page.url(), /plan\/blanket%20stripe/);
      const said = await text(page);
      assert.match(said, /Next, [^]*soak all skeins/);
      assert.match(said, /madder\s+24 g[^]*none in the cupboard\s+24 g/);
      assert.match(said, /alum\s+24 g[^]*20 g\s+4 g/);
      assert.match(said, /weld\s+60 g/);
      assert.match(said, /dust irritates/); // trade.md 4
      assert.strictEqual(await page.locator('.liquors .bath').count(), 2);
      assert.deepStrictEqual(await page.locator('.liquors .round h3').allTextContents(),
        ['first bath', 'exhaust 1', 'exhaust 2', 'first bath', 'exhaust 1']);

      await page.locator('.next').getByRole('button', { name: 'As planned' }).click();
      await page.getByText('Saved.').waitFor();
      assert.match(await text(page), /15 steps, 1 done/);
      await page.locator('.next').getByRole('link', { name: 'Changed' }).click();
      assert.strictEqual(await page.getByLabel('Time', { exact: true }).inputValue(), '60 min');
      await fill(page, { Day: '2025-13-45', Time: '50 min' });
      await page.getByRole('button', { name: 'Save', exact: true }).click();
      assert.match(await page.locator('#why').innerText(), /there is no such day/);
      await fill(page, { Day: 'today', Note: 'stirred too seldom' });
      await page.getByRole('button', { name: 'How is it read?' }).click();
      assert.match(await text(page), /Nothing is saved yet/);
      await page.getByRole('button', { name: 'Save', exact: true }).click();
      await page.getByText('Saved.').waitFor();
      assert.match(await text(page),
        /2 done[^]*time 50 min, planned 60 min\.\s+stirred too seldom/);
      const paper = await page.context().newPage();
      await paper.goto(`${at}print/plan`);
      assert.match(await text(paper),
        /Done on [-0-9]+, otherwise: time 50 min, planned 60 min; stirred too seldom/);
      await paper.goto(`${at}history`);
      assert.match(await text(paper), /A planned step done/i);
      await paper.close();
      await page.getByRole('button', { name: 'Undo' }).click();
      await page.getByText('Taken back.').waitFor();
      assert.match(page.url(), /plan\/blanket%20stripe\?undone/, 'back to where it was');
      await page.goto(`${at}plan`);
      assert.match(await text(page), /blanket stripe\s+5 colours, 15 steps, 1 done/);
      await page.getByRole('link', { name: 'blanket stripe' }).click();
      await page.getByText('Another time, other pots').click();
      await fill(page, { 'Ready by': 'yesterday' });
      await page.getByRole('button', { name: 'Plan anew' }).click();
      assert.match(await page.locator('#why').innerText(), /over already/);
      await fill(page, { 'Ready by': 'in 4 weeks', 'Burners': '1' });
      await page.getByRole('button', { name: 'Plan anew' }).click();
      await page.getByText('Saved.').waitFor();
      assert.match(await text(page), /3 pots of 8 l, 1 burner\b/);

      // A plan that was taken back is one line, and comes back as one.
      await page.goto(`${at}plan?new=yes`);
      await fill(page, { 'Project': 'cushion', 'A hank is': '100 g' });
      await row(1, { 'colour': 'moss', 'how much': '2 hanks', 'dyestuff': 'weld: 60 %' });
      await page.getByRole('button', { name: 'Plan and keep it' }).click();
      await page.getByText('Saved.').waitFor();
      await page.getByRole('button', { name: 'Undo' }).click();
      await page.getByText('Taken back.').waitFor();
      assert.match(page.url(), /\/plan\?undone/);
      await page.goto(`${at}withdrawn`);
      const line = page.locator('.ways li').filter({ hasText: 'cushion' });
      assert.match(await line.innerText(), /^project cushion, 2 skeins\s+Bring back$/);
      await line.getByRole('button', { name: 'Bring back' }).click();
      await page.getByText('Brought back.').waitFor();
      assert.doesNotMatch(await text(page), /cushion/);
    });
};
