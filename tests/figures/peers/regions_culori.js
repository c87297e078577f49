// regions_culori.js FILE X,Y,W,H ...: the mean L*, a*, b* of regions, pixel by
// pixel, by culori; sharp gives the pixels, in sRGB whatever the profile. Ends
// with 127 where they are not there.
'use strict';

let sharp, toLab;
try {
  sharp = require('sharp');
  toLab = require('culori').converter('lab');
} catch {
  process.exit(127);
}

async function mean(file, [left, top, width, height]) {
  const rgb = await sharp(file).extract({ left, top, width, height }).raw().toBuffer();
  const sum = { l: 0, a: 0, b: 0 };
  for (let i = 0; i < rgb.length; i += 3) {
    const lab = toLab({ mode: 'rgb', r: rgb[i] / 255, g: rgb[i + 1] / 255, b: rgb[i + 2] / 255 });
    sum.l += lab.l;
    sum.a += lab.a;
    sum.b += lab.b;
  }
  return [sum.l, sum.a, sum.b].map((v) => v / (width * height));
}

(async () => {
  const [file, ...boxes] = process.argv.slice(2);
  for (const box of boxes)
    console.log((await mean(file, box.split(',').map(Number))).join(','));
})();
