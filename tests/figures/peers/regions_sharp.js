// regions_sharp.js FILE X,Y,W,H ...: the mean L*, a*, b* of regions, which sharp
// turns into Lab itself. Ends with 127 where sharp is not there.
'use strict';

let sharp;
try {
  sharp = require('sharp');
} catch {
  process.exit(127);
}

async function mean(file, [left, top, width, height]) {
  const lab = await sharp(file).extract({ left, top, width, height })
    .toColourspace('lab').raw({ depth: 'float' }).toBuffer();
  const values = new Float32Array(lab.buffer, lab.byteOffset, lab.length / 4);
  const sum = [0, 0, 0];
  for (let i = 0; i < values.length; i++)
    sum[i % 3] += values[i];
  return sum.map((v) => v / (width * height));
}

(async () => {
  const [file, ...boxes] = process.argv.slice(2);
  for (const box of boxes)
    console.log((await mean(file, box.split(',').map(Number))).join(','));
})();
