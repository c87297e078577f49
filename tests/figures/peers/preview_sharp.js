// preview_sharp.js FROM TO: a copy of at most 480 pixels by sharp. Ends with 127
// where it is not there.
'use strict';

let sharp;
try {
  sharp = require('sharp');
} catch {
  process.exit(127);
}

const [from, to] = process.argv.slice(2);
sharp(from).autoOrient().resize({ width: 480, height: 480, fit: 'inside' })
  .jpeg({ quality: 82 }).toFile(to);
