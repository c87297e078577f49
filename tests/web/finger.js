// Boxes on a photo, and where the fixtures have them.
'use strict';
const fs = require('node:fs');
const path = require('node:path');
const h = require('./harness');

const photo = (name) => path.join(h.fixtures, name);

// A tap on the middle of a box that lies on the photo.
async function tap(page, options, box) {
  await page.locator('.photo').scrollIntoViewIfNeeded();
  const seen = await page.locator('.photo').boundingBox();
  const px = seen.width / 1600;
  const x = seen.x + (box[0] + box[2] / 2) * px;
  const y = seen.y + (box[1] + box[3] / 2) * px;
  if (options.hasTouch) await page.touchscreen.tap(x, y);
  else await page.mouse.click(x, y);
}

// Draws a box on the photo with the mouse or a finger, or types it where there
// are no scripts. Box 0 is the card's.
async function mark(page, options, nth, box) {
  if (options.javaScriptEnabled === false) {
    await page.getByLabel('box: X,Y,W,H').nth(nth).fill(box.join(','));
    return;
  }
  await page.locator('.photo').scrollIntoViewIfNeeded();
  const seen = await page.locator('.photo').boundingBox();
  const px = seen.width / 1600; // the fixtures' width
  const at = (part) => ({ x: seen.x + (box[0] + part * box[2]) * px,
    y: seen.y + (box[1] + part * box[3]) * px });
  if (!options.hasTouch) {
    await page.mouse.move(at(0).x, at(0).y);
    await page.mouse.down();
    await page.mouse.move(at(0.5).x, at(0.5).y);
    await page.mouse.move(at(1).x, at(1).y);
    await page.mouse.up();
    return;
  }
  const finger = await page.context().newCDPSession(page);
  const touch = (type, ...touchPoints) =>
    finger.send('Input.dispatchTouchEvent', { type, touchPoints });
  await touch('touchStart', at(0));
  await touch('touchMove', at(0.5));
  await touch('touchMove', at(1));
  await touch('touchEnd');
}

// What fixtures/truth.csv says: of the card's box, of a skein's box and colour.
function truth(name) {
  const rows = fs.readFileSync(photo('truth.csv'), 'utf8').trim().split('\n')
    .slice(1).map((line) => line.split(','))
    .filter((row) => row[0] === name);
  return {
    card: rows[0].slice(9, 13).map(Number),
    skeins: rows.map((row) => ({ box: row.slice(2, 6).map(Number),
      L: Number(row[6]) })),
  };
}

// What stands on the page, once all of it has come.
async function text(page) {
  await page.waitForLoadState();
  return page.locator('main').innerText();
}

// Fills a form's fields by their labels.
async function fill(page, fields) {
  for (const [label, words] of Object.entries(fields))
    await page.getByLabel(label, { exact: true }).first().fill(words);
}

module.exports = { fill, mark, photo, tap, text, truth };
