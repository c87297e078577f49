// Sends a photo with its progress shown.
"use strict";

(() => {

const upload = document.querySelector("[data-upload]");

function send(form) {
  const why = form.querySelector("[data-why]");
  const shown = form.querySelector("[data-progress]");
  const bar = shown.querySelector("progress");
  const words = shown.querySelector("[role=status]");
  const files = [...form.querySelectorAll("[type=file]")].flatMap((i) => Array.from(i.files));
  const refuse = (text) => {
    why.textContent = text;
    why.hidden = false;
    shown.hidden = true;
  };

  why.hidden = true;
  if (!files.length) return refuse("choose a photo first, or take one");
  const most = Number(form.dataset.most);
  if (files[0].size > most)
    return refuse(`the photo is over ${most >> 20} MiB: send it smaller, or ` +
                  'measure it with "hanklab measure"');
  const request = new XMLHttpRequest();
  request.open("POST", form.action);
  request.responseType = "document";
  request.upload.onprogress = (e) => {
    if (!e.lengthComputable) return;
    bar.value = 100 * e.loaded / e.total;
    words.textContent = e.loaded < e.total ? `${Math.round(bar.value)} % sent`
                                           : "sent, being kept";
  };
  request.onload = () => {
    if (request.status === 200) return location.assign(request.responseURL);
    const said = request.response && request.response.querySelector(".why");
    refuse(said ? said.textContent : "that did not go: try again");
  };
  request.onerror = () => refuse("the photo did not arrive: send it again");
  shown.hidden = false;
  words.textContent = "0 % sent";
  request.send(new FormData(form));
}

upload.addEventListener("submit", (e) => {
  e.preventDefault();
  send(upload);
});
// Taking one or choosing one: the other is no longer meant. The label is the
// button, so what was chosen is said below.
const inputs = [...upload.querySelectorAll("[type=file]")];
const chosen = upload.querySelector("[data-chosen]");
upload.classList.add("drawn");
for (const one of inputs)
  one.addEventListener("change", () => {
    for (const other of inputs) if (other !== one) other.value = "";
    chosen.textContent = one.files.length ? one.files[0].name : "";
    chosen.hidden = !one.files.length;
  });

})();
