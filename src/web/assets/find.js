// Picks another lightness without a new page, and frames a part of the map.
"use strict";

(() => {

const pick = document.querySelector("#pick");
const map = document.querySelector("[data-map]");

function show(link) {
  const light = new URL(link.href).searchParams.get("light");
  const plane = pick.querySelector("[type=image]");
  const kept = pick.querySelector("[name=light]");

  plane.alt = plane.alt.replace(/lightness [\d.]+/, `lightness ${light}`);
  plane.src = `/plane?light=${light}`;
  kept.value = light;
  kept.disabled = false;
  for (const other of pick.querySelectorAll("nav a")) {
    other.classList.toggle("on", other === link);
    if (other === link) other.setAttribute("aria-current", "true");
    else other.removeAttribute("aria-current");
  }
}

if (pick)
  pick.querySelector("nav").addEventListener("click", (e) => {
    const link = e.target.closest("a");
    if (!link) return;
    e.preventDefault();
    show(link);
  });

// Where a pointer is, in the map's own units.
function place(e) {
  const p = new DOMPoint(e.clientX, e.clientY)
    .matrixTransform(map.getScreenCTM().inverse());
  return { x: Math.min(520, Math.max(0, p.x)), y: Math.min(560, Math.max(0, p.y)) };
}

function frame() {
  const rect = document.createElementNS("http://www.w3.org/2000/svg", "rect");
  let from = null;
  let moved = false;

  rect.setAttribute("class", "area");
  const draw = (to) => {
    rect.setAttribute("x", Math.min(from.x, to.x));
    rect.setAttribute("y", Math.min(from.y, to.y));
    rect.setAttribute("width", Math.abs(to.x - from.x));
    rect.setAttribute("height", Math.abs(to.y - from.y));
  };
  map.addEventListener("dragstart", (e) => e.preventDefault());
  map.addEventListener("pointerdown", (e) => {
    if (e.pointerType !== "mouse" || e.button) return;
    from = place(e);
    moved = false;
  });
  map.addEventListener("pointermove", (e) => {
    if (!from) return;
    const to = place(e);
    if (!moved && Math.hypot(to.x - from.x, to.y - from.y) < 8) return;
    if (!moved) map.setPointerCapture(e.pointerId);
    moved = true;
    draw(to);
    map.append(rect);
  });
  map.addEventListener("pointerup", (e) => {
    if (!from) return;
    const to = place(e);
    const range = (x, y) => `${Math.min(x, y).toFixed(0)}..${Math.max(x, y).toFixed(0)}`;
    const a = (x) => x / 4 - 50;
    const b = (y) => 100 - y / 4;
    if (moved) {
      const url = new URL(map.dataset.map, location);
      url.searchParams.set("area", `${range(a(from.x), a(to.x))},${range(b(from.y), b(to.y))}`);
      location.assign(url);
    }
    from = null;
  });
  // The end of a frame is no click on what lies below it.
  map.addEventListener("click", (e) => moved && e.preventDefault(), true);
}

if (map && matchMedia("(pointer: fine)").matches) {
  for (const words of document.querySelectorAll("[data-script]")) words.hidden = false;
  frame();
}

})();
