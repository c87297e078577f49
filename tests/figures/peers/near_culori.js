// near_culori.js COLOURS.csv L,a,b ...: the ids of the 20 colours nearest by
// CIEDE2000 to each of some, a line each, by culori. Ends with 127 where it is not
// there.
'use strict';
const fs = require('node:fs');

let difference;
try {
  // It compares in lab65; numbers that are said to be of it are taken as they are.
  difference = require('culori').differenceCiede2000();
} catch {
  process.exit(127);
}

const lab = (l, a, b) => ({ mode: 'lab65', l, a, b });
const [file, ...targets] = process.argv.slice(2);
const colours = fs.readFileSync(file, 'utf8').trim().split('\n').slice(1).map((line) => {
  const [id, ...v] = line.split(',').map(Number);
  return { id, lab: lab(...v) };
});
for (const target of targets) {
  const to = lab(...target.split(',').map(Number));
  const far = colours.map((c) => ({ id: c.id, de: difference(to, c.lab) }));
  far.sort((x, y) => x.de - y.de);
  console.log(far.slice(0, 20).map((f) => f.id).join(' '));
}
