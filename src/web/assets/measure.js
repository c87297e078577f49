// Draws boxes on a photo. The form's fields are the only state that counts:
// without this they are typed.
"use strict";

(() => {

const later = (root, selector) => Array.from(root.querySelectorAll(selector));
for (const part of later(document, "[data-script]")) part.hidden = false;

const form = document.querySelector("[data-measure]");

const NS = "http://www.w3.org/2000/svg";
const svg = form.querySelector(".photo");
const view = form.querySelector(".view");
const layer = svg.querySelector("[data-boxes]");
const lists = {skein: form.querySelector("[data-rows]"),
               known: form.querySelector("[data-known-rows]")};
const names = {card: "card-box", skein: "box", known: "known-box"};
const {width: W, height: H} = svg.viewBox.baseVal;
const GRIP = 8, REACH = 22;             // radius in px: 16 drawn, 44 reached
const SMALLEST = 8;                     // px; a shorter drag is a tap
const corners = [[0, 0], [.5, 0], [1, 0], [1, .5], [1, 1], [.5, 1], [0, 1],
                 [0, .5]];              // of the grips, in parts of a box
let boxes = [];                         // one a row: card, skeins, known
let chosen = null;
let zoom = 1;

// Picture pixels to one of the screen's; before it is laid out any will do.
const unit = () => W / (svg.getBoundingClientRect().width || W);
const clamp = (x, low, high) => Math.min(high, Math.max(low, x));

function make(name, attributes, parent) {
  const made = document.createElementNS(NS, name);
  for (const key in attributes) made.setAttribute(key, attributes[key]);
  parent.append(made);
  return made;
}

function set(element, attributes) {
  for (const key in attributes) element.setAttribute(key, attributes[key]);
}

// A row of the form and what is drawn for it.
function boxOf(row) {
  const kind = row.dataset.row || "skein";
  const at = row.querySelector(`[name=${names[kind]}]`);
  const box = {row, kind, card: kind === "card", at, r: null};
  at.addEventListener("change", () => { read(box); changed(box); });
  const as = row.querySelector("[name=as]"), who = whose(row);
  if (as) who.addEventListener("change", () => {
    if (who.value && as.value === "look") as.value = "skein";
  });
  for (const field of later(row, "select, [name=who], [name=known-what]"))
    field.addEventListener("change", () => changed(box));
  row.addEventListener("focusin", () => choose(box));
  const away = row.querySelector("[data-remove]");
  if (away) away.addEventListener("click", () => remove(box));
  return box;
}

const whose = (row) => row.querySelector("[name=who], [name=known-what]");
const ofKind = (kind) => boxes.filter((b) => b.kind === kind);

// The number on the tag of a skein that is said, or "".
function tag(box) {
  const as = box.row.querySelector("[name=as]");
  const said = as && /skein|look/.test(as.value) ? whose(box.row).value.trim() : "";
  return said.length <= 8 ? said : "";
}

// A skein is called by its tag, a box that is nobody's yet by its number,
// places of known colour by letters.
function name(box) {
  const nth = ofKind(box.kind).indexOf(box);
  return box.card ? "card" : box.kind === "known" ? String.fromCharCode(65 + nth)
                           : tag(box) || String(nth + 1);
}

// The field's words to a rectangle; what cannot be read draws nothing.
function read(box) {
  const n = box.at.value.split(",").map((s) => s.trim() ? Number(s) : NaN);
  const sound = n.length === 4 && n.every(Number.isFinite) && n[2] >= 1 &&
                n[3] >= 1;
  box.r = sound ? {x: n[0], y: n[1], w: n[2], h: n[3]} : null;
  place(box);
}

function write(box, r) {
  const x = Math.round(clamp(r.x, 0, W - 1)), y = Math.round(clamp(r.y, 0, H - 1));
  box.r = {x, y, w: Math.round(clamp(r.w, 1, W - x)),
           h: Math.round(clamp(r.h, 1, H - y))};
  box.at.value = [box.r.x, box.r.y, box.r.w, box.r.h].join(",");
  place(box);
}

function draw(box) {
  const g = make("g", {class: `box ${box.kind}`, tabindex: 0, role: "group"}, layer);
  box.g = g;
  box.halo = make("rect", {class: "halo"}, g);
  box.line = make("rect", {class: "line", "pointer-events": "all"}, g);
  box.flag = make("g", {class: "flag"}, g);
  make("rect", {y: -22, height: 20}, box.flag);
  make("text", {y: -7}, box.flag);
  box.grips = corners.map((at, i) => [
    make("circle", {class: "reach", "data-grip": i}, g),
    make("circle", {class: "grip", "pointer-events": "none"}, g)]);
  g.addEventListener("focus", () => choose(box));
  g.addEventListener("keydown", (e) => key(box, e));
}

function call(box) {
  const words = name(box), wide = 14 + 8 * words.length, of = tag(box);
  set(box.flag.firstChild, {width: wide});
  set(box.flag.lastChild, {x: wide / 2});
  box.flag.lastChild.textContent = words;
  box.g.classList.toggle("tied", of !== "");
  box.g.setAttribute("aria-label", box.card ? "box of the card" :
                                   of ? `box of skein ${of}` : `box ${words}`);
}

// Puts what is drawn where the box is.
function place(box) {
  box.row.hidden = !box.card && !box.r &&
                   box !== ofKind(box.kind).find((b) => !b.r && tied(b));
  if (!box.r) {
    if (box.g) box.g.remove();
    box.g = null;
    return;
  }
  if (!box.g) draw(box);
  call(box);
  const {x, y, w, h} = box.r, u = unit(), on = box === chosen;
  set(box.halo, {x, y, width: w, height: h});
  set(box.line, {x, y, width: w, height: h});
  set(box.flag, {transform: `translate(${x} ${y < 22 * u ? y + 24 * u : y}) ` +
                            `scale(${u})`});
  box.g.classList.toggle("on", on);
  box.row.classList.toggle("on", on);
  box.grips.forEach((pair, i) => pair.forEach((circle, drawn) => {
    const [fx, fy] = corners[i];
    set(circle, {cx: x + fx * w, cy: y + fy * h,
                 r: (drawn ? GRIP : REACH) * u,
                 visibility: on ? "visible" : "hidden"});
  }));
}

const tied = (box) => whose(box.row).value !== "";

function placeAll() {
  boxes.forEach(place);
}

function choose(box) {
  if (chosen === box) return;
  chosen = box;
  placeAll();
  if (box && box.g) layer.append(box.g); // on top, its grips within reach
}

function oneMore(like) {
  const n = like.length;
  const row = like[n - 1].row.cloneNode(true);
  for (const e of later(row, "[id]")) e.id = e.id.replace(/\d+$/, n);
  for (const e of later(row, "[for]"))
    e.htmlFor = e.htmlFor.replace(/\d+$/, n);
  lists[like[0].kind].append(row);
  const box = boxOf(row);
  boxes.push(box);
  clear(box);
  return box;
}

// A row for a new box: an empty one, or one more.
function freeBox(kind) {
  if (kind === "card") return boxes[0];
  const like = ofKind(kind === "known" ? kind : "skein");
  let box = like.find((b) => !b.r);
  if (!box) box = oneMore(like);
  if (kind === "fibre") box.row.querySelector("[name=as]").value = "fibre";
  return box;
}

function clear(box) {
  box.at.value = "";
  if (!box.card) {
    whose(box.row).value = "";
    box.row.querySelector("select").selectedIndex = 0;
    unmeasured(box);
  }
  box.r = null;
}

function unmeasured(box) {
  const head = box.row.querySelector(".flagrow");
  const no = head.querySelector(".no");
  no.textContent = name(box);
  no.classList.toggle("tied", tag(box) !== "");
  head.querySelector("b").textContent =
    box.kind === "known" ? "a known colour" : "not measured yet";
  for (const e of later(box.row, ".ok, .row, .was")) e.remove();
  box.row.classList.remove("no-go");
}

function remove(box) {
  clear(box);
  if (chosen === box) chosen = null;
  placeAll();
  form.querySelector("[data-add=skein]").focus({preventScroll: true});
  tryLater();
}

function changed(box) {
  choose(box);
  placeAll();
  tryLater();
}

// A box in the middle of what is seen, for those who do not draw.
function add(kind) {
  const box = freeBox(kind), s = svg.getBoundingClientRect(),
        v = view.getBoundingClientRect(), u = unit();
  const seen = {x: Math.max(0, v.left - s.left) * u,
                y: Math.max(0, v.top - s.top) * u,
                w: Math.min(v.width, s.width) * u,
                h: Math.min(v.height, s.height) * u};
  if (!box.r)
    write(box, {x: seen.x + seen.w * .38, y: seen.y + seen.h * .38,
                w: seen.w * .24, h: seen.h * .24});
  changed(box);
  box.g.focus();
}

// ---- keys

function key(box, e) {
  const step = Math.max(1, Math.round(4 * unit()));
  const way = {ArrowLeft: [-step, 0], ArrowRight: [step, 0],
               ArrowUp: [0, -step], ArrowDown: [0, step]}[e.key];
  if (e.key === "Delete" || e.key === "Backspace") {
    e.preventDefault();
    return remove(box);
  }
  if (!way || e.ctrlKey || e.altKey || e.metaKey) return;
  e.preventDefault();
  const {x, y, w, h} = box.r;
  write(box, e.shiftKey ? {x, y, w: w + way[0], h: h + way[1]}
                        : {x: clamp(x + way[0], 0, W - w),
                           y: clamp(y + way[1], 0, H - h), w, h});
  tryLater();
}

// ---- fingers and the mouse

const fingers = new Map(); // those on the photo now
let drag = null;           // {box, from, was, grip} or {from}: a new one
let pinch = null;

function spot(e) {
  const p = new DOMPoint(e.clientX, e.clientY);
  return p.matrixTransform(svg.getScreenCTM().inverse());
}

function span() {
  const [a, b] = Array.from(fingers.values());
  return {x: (a.clientX + b.clientX) / 2, y: (a.clientY + b.clientY) / 2,
          d: Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY)};
}

function take(e) {
  const corner = e.target.closest("[data-corner]");
  if (corner) {
    drag = {corner: Number(corner.dataset.corner)};
    return corner.focus({preventScroll: true});
  }
  const grip = e.target.closest("[data-grip]");
  const g = e.target.closest(".box");
  const box = boxes.find((b) => b.g && b.g === g);
  drag = {from: spot(e), box, was: box && {...box.r},
          grip: grip && corners[Number(grip.dataset.grip)]};
  if (box) {
    choose(box);
    box.g.focus({preventScroll: true});
  }
}

// Where a drag has taken its box.
function dragged(to) {
  const {from, was, grip} = drag, dx = to.x - from.x, dy = to.y - from.y;
  if (!was)
    return {x: Math.min(from.x, to.x), y: Math.min(from.y, to.y),
            w: Math.abs(dx), h: Math.abs(dy)};
  if (!grip)
    return {x: clamp(was.x + dx, 0, W - was.w),
            y: clamp(was.y + dy, 0, H - was.h), w: was.w, h: was.h};
  let left = was.x, right = was.x + was.w, top = was.y, low = was.y + was.h;
  if (grip[0] === 0) left += dx;
  if (grip[0] === 1) right += dx;
  if (grip[1] === 0) top += dy;
  if (grip[1] === 1) low += dy;
  const x = clamp(Math.min(left, right), 0, W),
        y = clamp(Math.min(top, low), 0, H);
  return {x, y, w: Math.min(W, Math.max(left, right)) - x,
          h: Math.min(H, Math.max(top, low)) - y};
}

function letGo() { // a second finger came: what one had begun is not meant
  if (drag && drag.was) write(drag.box, drag.was);
  else if (drag && drag.box) remove(drag.box);
  drag = null;
}

svg.addEventListener("pointerdown", (e) => {
  if (e.button) return;
  e.preventDefault();
  svg.setPointerCapture(e.pointerId);
  fingers.set(e.pointerId, e);
  if (fingers.size === 1) return take(e);
  letGo();
  pinch = fingers.size === 2 ? {...span(), zoom} : null;
});

svg.addEventListener("pointermove", (e) => {
  if (!fingers.has(e.pointerId)) return;
  fingers.set(e.pointerId, e);
  if (pinch) {
    const now = span();
    zoomTo(pinch.zoom * now.d / Math.max(1, pinch.d), now);
    view.scrollLeft -= now.x - pinch.x;
    view.scrollTop -= now.y - pinch.y;
    pinch.x = now.x;
    pinch.y = now.y;
  } else if (drag && "corner" in drag) {
    moveCorner(drag.corner, spot(e));
  } else if (drag) {
    const to = spot(e), far = SMALLEST * unit();
    if (!drag.box) {
      if (Math.abs(to.x - drag.from.x) < far ||
          Math.abs(to.y - drag.from.y) < far) return;
      choose(null);
      drag.box = freeBox(boxes[0].r ? "skein" : "card");
    }
    write(drag.box, dragged(to));
  }
});

function lift(e) {
  if (!fingers.delete(e.pointerId)) return;
  pinch = null;
  if (fingers.size || !drag) return;
  const {box, was, from} = drag, cornered = "corner" in drag;
  drag = null;
  if (cornered) return tryLater();
  // A new one shows no grips, which would be in the way of the next.
  if (!box) {
    choose(null);
    if (e.type === "pointerup") tap(from);
    return;
  }
  if (!was || ["x", "y", "w", "h"].some((k) => was[k] !== box.r[k])) tryLater();
}
svg.addEventListener("pointerup", lift);
svg.addEventListener("pointercancel", lift);

// ---- zoom

// About a point of the screen, or the middle.
function zoomTo(wanted, about) {
  const v = view.getBoundingClientRect(), before = svg.getBoundingClientRect();
  const x = about ? about.x : v.left + v.width / 2;
  const y = about ? about.y : v.top + v.height / 2;
  const fx = (x - before.left) / before.width;
  const fy = (y - before.top) / before.height;
  zoom = clamp(wanted, 1, 12);
  view.classList.toggle("near", zoom > 1);
  svg.style.width = `${100 * zoom}%`;
  const after = svg.getBoundingClientRect();
  view.scrollLeft += after.left + fx * after.width - x;
  view.scrollTop += after.top + fy * after.height - y;
}

// ---- trying without leaving the page

const said = form.querySelector("[data-said]");
const why = form.querySelector("[data-why]");
let waiting = null;
let asked = null;

function tryLater() {
  clearTimeout(waiting);
  if (boxes[0].r && ofKind("skein").some((b) => b.r))
    waiting = setTimeout(tryNow, 400);
}

// The answer has colours; else what is to be put right is in it.
const hasColours = (page) => page.querySelector("[data-result] .row") !== null;

// Takes the answer's words into this page; the fields stay as they are. An
// answer without colours leaves those there are.
function takeAnswer(answer) {
  if (!hasColours(answer) && answer.querySelector("form [aria-invalid]") &&
      hasColours(form)) {
    takeBlame(answer);
    said.textContent = "As it was before: see what is to be put right.";
    return;
  }
  const rows = later(answer, "[data-row]");
  for (const box of boxes) {
    const row = rows.filter((o) => (o.dataset.row || "skein") === box.kind)[
      ofKind(box.kind).indexOf(box)];
    const result = row && row.querySelector("[data-result]");
    if (!result) continue;
    box.row.querySelector("[data-result]").replaceWith(result);
    box.row.classList.toggle("no-go", row.classList.contains("no-go"));
  }
  takeBlame(answer);
  for (const part of ["[data-advice]", "[data-save]", "[data-copy]"])
    form.querySelector(part).replaceWith(answer.querySelector(part));
  const refused = answer.querySelector("[data-why]");
  why.textContent = refused.textContent;
  why.hidden = refused.hidden;
  const swatches = later(lists.skein, "[data-row]:not(.card):not(.no-go) .row")
    .length;
  said.textContent = swatches ? `${swatches} measured.` : "";
}

// What is to be put right, beside its field.
function takeBlame(answer) {
  for (const old of later(form, "#why")) old.remove();
  for (const field of later(form, "[aria-invalid]")) {
    field.removeAttribute("aria-invalid");
    field.removeAttribute("aria-describedby");
  }
  const blamed = answer.querySelector("form [aria-invalid]");
  const field = blamed && document.getElementById(blamed.id);
  if (!field) return;
  field.setAttribute("aria-invalid", "true");
  field.setAttribute("aria-describedby", "why");
  field.closest("p").after(answer.querySelector("#why"));
  if (!field.checkVisibility()) showNumbers(true);
  for (let d = field.closest("details"); d; d = d.parentElement.closest("details"))
    d.open = true;
}

async function tryNow() {
  clearTimeout(waiting);
  if (asked) asked.abort();
  const mine = asked = new AbortController();
  const fields = new FormData(form);
  fields.set("do", "try");
  said.textContent = "Measuring\u2026";
  form.setAttribute("aria-busy", "true");
  try {
    const answer = await fetch(form.action, {method: "POST", body: fields,
                                             signal: mine.signal});
    const page = await answer.text();
    const parsed = new DOMParser().parseFromString(page, "text/html");
    if (parsed.querySelector("[data-measure]")) takeAnswer(parsed);
    else said.textContent = "That did not go: reload the page.";
  } catch (e) {
    if (mine.signal.aborted) return;
    said.textContent = "The page does not answer: is hanklab still running?";
  }
  if (asked === mine) form.removeAttribute("aria-busy");
}

function showNumbers(yes) {
  form.classList.toggle("numbers", yes);
  numbers.setAttribute("aria-pressed", String(yes));
}

// ---- a tap: what lies there, or why it cannot be told

// How much of the smaller of two boxes lies under the other.
function overlap(a, b) {
  const w = Math.min(a.x + a.w, b.x + b.w) - Math.max(a.x, b.x);
  const h = Math.min(a.y + a.h, b.y + b.h) - Math.max(a.y, b.y);
  return w > 0 && h > 0 ? w * h / Math.min(a.w * a.h, b.w * b.h) : 0;
}

// A box that lies on the same thing is put right; else there is a new one.
function takeFound(found) {
  const [x, y, w, h] = found.dataset.found.split(",").map(Number);
  const r = {x, y, w, h};
  const box = found.dataset.kind === "card" ? boxes[0] :
              ofKind("skein").find((b) => b.r && overlap(b.r, r) > 0.3) ||
              freeBox("skein");
  write(box, r);
  tryLater();
}

async function tap({x, y}) {
  clearTimeout(waiting);
  const fields = new FormData(form);
  fields.set("do", "tap");
  fields.set("tap", `${Math.floor(x)},${Math.floor(y)}`);
  said.textContent = "Looking\u2026";
  try {
    const answer = await fetch(form.action, {method: "POST", body: fields});
    const parsed = new DOMParser().parseFromString(await answer.text(),
                                                   "text/html");
    const found = parsed.querySelector("[data-found]");
    const refused = parsed.querySelector("[data-why]");
    why.textContent = refused && !found ? refused.textContent : "";
    why.hidden = !why.textContent;
    said.textContent = "";
    if (found) takeFound(found);
  } catch (e) {
    said.textContent = "The page does not answer: is hanklab still running?";
  }
}

form.addEventListener("submit", (e) => {
  if (!e.submitter || e.submitter.value !== "try") return;
  e.preventDefault();
  tryNow();
});

// ---- a chart: its file as text, its four corners on the photo

const chart = {field: form.querySelector("[name=chart-corners]"),
               values: form.querySelector("[name=chart-values]"),
               file: form.querySelector("[name=chart]"), at: [], g: null};

function readChart() {
  const n = chart.field.value.trim().split(/\s+/).map((s) => s.split(",").map(Number));
  const sound = n.length === 4 && n.every((c) => c.length === 2 &&
                                          c.every(Number.isFinite));
  chart.at = sound ? n.map(([x, y]) => ({x, y})) : [];
  placeChart();
}

function drawChart() {
  const g = chart.g = make("g", {class: "box known on"}, svg);
  chart.halo = make("polygon", {class: "halo"}, g);
  chart.line = make("polygon", {class: "line"}, g);
  chart.grips = chart.at.map((_, i) => {
    const grip = make("g", {class: "corner", tabindex: 0, role: "group",
                            "aria-label": `corner ${i + 1} of the chart`,
                            "data-corner": i}, g);
    make("circle", {class: "reach", r: REACH}, grip);
    make("circle", {class: "grip", r: GRIP + 3}, grip);
    make("text", {y: 5}, grip).textContent = i + 1;
    grip.addEventListener("keydown", (e) => cornerKey(i, e));
    return grip;
  });
}

function placeChart() {
  if (!chart.at.length) {
    if (chart.g) chart.g.remove();
    chart.g = null;
    return;
  }
  if (!chart.g) drawChart();
  const points = chart.at.map(({x, y}) => `${x},${y}`).join(" ");
  set(chart.halo, {points});
  set(chart.line, {points});
  chart.grips.forEach((grip, i) => set(grip, {transform:
    `translate(${chart.at[i].x} ${chart.at[i].y}) scale(${unit()})`}));
}

function moveCorner(i, {x, y}) {
  chart.at[i] = {x: Math.round(clamp(x, 0, W)), y: Math.round(clamp(y, 0, H))};
  chart.field.value = chart.at.map((c) => `${c.x},${c.y}`).join(" ");
  placeChart();
}

function cornerKey(i, e) {
  const step = Math.max(1, Math.round(4 * unit()));
  const way = {ArrowLeft: [-step, 0], ArrowRight: [step, 0],
               ArrowUp: [0, -step], ArrowDown: [0, step]}[e.key];
  if (!way || e.ctrlKey || e.altKey || e.metaKey) return;
  e.preventDefault();
  moveCorner(i, {x: chart.at[i].x + way[0], y: chart.at[i].y + way[1]});
  tryLater();
}

function layCorners() {
  if (!chart.at.length) {
    chart.at = [[.3, .3], [.7, .3], [.7, .7], [.3, .7]].map(([x, y]) =>
      ({x: x * W, y: y * H}));
    chart.at.forEach((at, i) => moveCorner(i, at));
  }
  svg.scrollIntoView({block: "nearest"});
  chart.grips[0].focus({preventScroll: true});
}

form.querySelector("[data-corners]").addEventListener("click", layCorners);
chart.field.addEventListener("change", () => { readChart(); tryLater(); });
chart.values.addEventListener("change", tryLater);
chart.file.addEventListener("change", async () => {
  if (!chart.file.files.length) return;
  chart.values.value = await chart.file.files[0].text();
  chart.file.value = "";
  if (chart.at.length) tryLater();
  else layCorners();
});

// ---- marks that outlive a look at another page

const carried = later(form, "[type=hidden][name$=':photo']").length;
const marksKey = `hanklab marks ${form.getAttribute("action")} ${carried}`;
const marked = () => later(form, "input, select, textarea").filter((e) =>
  e.name && e.type !== "hidden" && e.type !== "file");

function keepMarks() {
  const all = marked().map((e) =>
    [e.name, e.type === "checkbox" ? e.checked : e.value]);
  try {
    sessionStorage.setItem(marksKey, JSON.stringify(all));
  } catch { /* a browser may forbid keeping anything */ }
}

// Back, or back with a card that was put in meanwhile, which stays chosen.
function takeMarks() {
  const how = performance.getEntriesByType("navigation")[0];
  const address = new URLSearchParams(location.search);
  const withCard = address.has("card");
  let all = null;
  try {
    all = JSON.parse(sessionStorage.getItem(marksKey));
    sessionStorage.removeItem(marksKey);
  } catch { /* then nothing was kept */ }
  if (!all || !(withCard || address.has("beside") || (how && how.type === "back_forward"))) return;
  for (const kind of ["skein", "known"]) {
    const n = all.filter(([name]) => name === names[kind]).length;
    while (ofKind(kind).length < n) oneMore(ofKind(kind));
  }
  const fields = marked(), nth = {};
  for (const [name, value] of all) {
    const i = nth[name] = (nth[name] ?? -1) + 1;
    const field = fields.filter((e) => e.name === name)[i];
    if (!field || (withCard && name === "card")) continue;
    if (field.type === "checkbox") field.checked = value;
    else field.value = value;
  }
  if (all.some(([name, value]) => name === "known-box" && value))
    lists.known.closest("details").open = true;
}

// ---- begin

layer.replaceChildren();
view.classList.add("drawn");
form.classList.add("drawn");
const numbers = form.querySelector("[data-numbers]");
numbers.addEventListener("click", () => showNumbers(
  !form.classList.contains("numbers")));
boxes = later(form, "[data-row]").map(boxOf);
takeMarks();
window.addEventListener("pagehide", keepMarks);
boxes.forEach(read);
placeAll();
for (const button of later(form, "[data-add]"))
  button.addEventListener("click", () => add(button.dataset.add));
for (const button of later(form, "[data-zoom]"))
  button.addEventListener("click",
                          () => zoomTo(zoom * Number(button.dataset.zoom)));
for (const field of later(form, ".set input, .set select, .more-known > p input"))
  field.addEventListener("change", tryLater);
readChart();
new ResizeObserver(() => { placeAll(); placeChart(); }).observe(svg);
const next = form.querySelector("[name=and-file]");
next.addEventListener("change", () => {
  if (next.files.length)
    form.requestSubmit(form.querySelector("[name=do][value=and]"));
});
if (why.hidden && !form.querySelector("#why") && !hasColours(form)) tryLater();

})();
