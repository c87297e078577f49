// Asking a page's server without a browser.
'use strict';
const fs = require('node:fs');
const http = require('node:http');
const path = require('node:path');
const h = require('./harness');

// One request, raw enough to send any header; { status, headers,
// bytes, body }. page
// is where: its port, its host unless this machine is at home, its cookie.
function ask(page, method, where, { headers = {}, body } = {}) {
  return new Promise((resolve, reject) => {
    const req = http.request({
      host: page.host || '127.0.0.1', port: page.port, method, path: where,
      headers: page.cookie === undefined ? headers : { Cookie: page.cookie, ...headers },
      agent: false,
    }, (res) => {
      const bytes = [];
      res.on('data', (b) => bytes.push(b));
      res.on('end', () => resolve({
        status: res.statusCode, headers: res.headers,
        bytes: Buffer.concat(bytes), body: Buffer.concat(bytes).toString('utf8'),
      }));
    });
    req.on('error', reject);
    if (body) req.write(body);
    req.end();
  });
}

const form = (fields) => ({
  headers: { 'Content-Type': 'application/x-www-form-urlencoded' },
  body: new URLSearchParams(fields).toString(),
});

// The sentence on a page that refuses.
const why = (body) => /class="why"[^>]*>([^<]*)</.exec(body)?.[1]
  ?? body.slice(0, 200);

// The page of a book that is shared at an address which every machine has for
// itself and which is not 127.0.0.1, so that it counts as anybody's.
async function share(book) {
  const host = '127.0.0.2';
  const page = await h.serve(book, `share=${host}`);
  return { ...page, host, url: `http://${host}:${page.port}/` };
}

// The code that lets a device in just now.
const codeOf = (book) => /^code\t(\d{6})\t/m
  .exec(fs.readFileSync(path.join(book, 'devices'), 'utf8'))[1];

// Lets a device in: the page as that device asks for it.
async function letIn(book, page, name) {
  h.hanklab(book, 'device', 'add');
  const a = await ask(page, 'POST', '/pair', form({ code: codeOf(book), name }));
  if (!a.headers['set-cookie']) throw new Error(why(a.body));
  return { ...page, cookie: a.headers['set-cookie'][0].split('; ')[0] };
}

module.exports = { ask, codeOf, form, letIn, share, why };
