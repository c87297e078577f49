// On every page. Without it everything works, but for drafts, days to tap
// and the button that prints.
"use strict";

// A log is kept on this device as it is typed, until it has been saved: it
// outlives a closed page and a lost connection.
function keepDraft(form) {
  const key = "hanklab draft " + form.dataset.draft;
  const told = form.querySelector("[data-kept]");
  const fields = () => [...form.elements].filter(
    (e) => e.name && e.name !== "token" && e.type !== "file" && e.type !== "submit");
  const typed = () => fields().map((e) => e.value);

  const kept = JSON.parse(localStorage.getItem(key) || "null");
  if (kept && typed().every((v) => !v)) {
    fields().forEach((e, i) => { e.value = kept[i] || ""; });
    told.textContent = "What you typed before is still here.";
  }
  let waiting;
  const keep = () => {
    clearTimeout(waiting);
    waiting = 0;
    localStorage.setItem(key, JSON.stringify(typed()));
    told.textContent = "Kept on this device as you type.";
  };
  form.addEventListener("input", () => {
    clearTimeout(waiting);
    waiting = setTimeout(keep, 400);
  });
  // Who taps away at once has it kept all the same.
  addEventListener("pagehide", () => { if (waiting) keep(); });
}

for (const form of document.querySelectorAll("form[data-draft]")) {
  // A browser may forbid keeping anything.
  try { keepDraft(form); } catch { /* then nothing is kept */ }
}

// A day to tap instead of typing it.
for (const button of document.querySelectorAll("button[data-day]")) {
  button.parentElement.hidden = false;
  button.addEventListener("click", () => {
    const field = button.closest("p").querySelector("input");
    field.value = button.textContent;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
}

for (const button of document.querySelectorAll("button[data-print]")) {
  button.hidden = false;
  button.addEventListener("click", () => print());
}

// Saved: the draft has done its work.
if (new URLSearchParams(location.search).has("saved")) {
  try { localStorage.removeItem("hanklab draft log"); } catch { /* none */ }
}
