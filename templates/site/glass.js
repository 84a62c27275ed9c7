// Cloth under glass: a photo opens large; pan, zoom, and the yarn under the finger is named.
// Without this script each photo is a link to its largest file.
(() => {
"use strict";
const block = document.getElementById("glass");
if (!block || !window.HTMLDialogElement) return;
const told = JSON.parse(block.textContent), words = told.words, MOST = 10;
const make = (name, attributes, ...inside) => {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...inside);
  return made;
};
const button = (sign, word, key) => make("button", {type: "button", "aria-label": word, title: word, "data-key": key}, sign);

const strip = make("div", {class: "stripes", "aria-hidden": "true"}, ...told.yarns.map(yarn => {
  const stripe = make("i", {});
  stripe.style.flexGrow = yarn.share;
  stripe.style.background = yarn.colour;
  return stripe;
}));
const mark = make("div", {class: "mark", "aria-hidden": "true", hidden: ""});
const sheet = make("div", {class: "sheet"});
const stage = make("div", {class: "stage", tabindex: "0", role: "application", "aria-describedby": "glass-how"}, sheet, mark);
const names = make("div", {class: "names", role: "status"});
const dialog = make("dialog", {class: "under-glass", "aria-labelledby": "glass-title"},
  make("div", {class: "rail"},
    make("p", {class: "heading", id: "glass-title"}, told.title),
    make("div", {class: "tools"}, button("−", words.away, "-"), button("+", words.closer, "+"),
      button(words.fit, words.whole, "0"), button("×", words.close, "Escape"))),
  stage, strip, names, make("p", {class: "how", id: "glass-how"}, words.how));
document.body.append(dialog);

let opener, turn = 0, picture, threads, view, at, under = -1, saying;
const still = matchMedia("(prefers-reduced-motion: reduce)");
const fingers = new Map();

// The photo lies in the stage at `scale` (1: the whole of it fits), its middle moved by x and y.
function lay(smooth) {
  const room = stage.getBoundingClientRect(), size = fitted(room);
  const over = (length, space) => Math.max(0, (length * view.scale - space) / 2);
  view.x = Math.min(over(size.width, room.width), Math.max(-over(size.width, room.width), view.x));
  view.y = Math.min(over(size.height, room.height), Math.max(-over(size.height, room.height), view.y));
  sheet.style.width = size.width + "px";
  sheet.style.height = size.height + "px";
  sheet.style.transition = smooth && !still.matches ? "transform .2s ease-out" : "none";
  sheet.style.transform = `translate(-50%,-50%) translate(${view.x}px,${view.y}px) scale(${view.scale})`;
  stage.dataset.scale = view.scale.toFixed(2);
  stage.classList.toggle("near", view.scale > 1);
}
function fitted(room) {
  const wide = picture.getAttribute("width"), high = picture.getAttribute("height");
  const least = Math.min(room.width / wide, room.height / high);
  return {width: wide * least, height: high * least};
}
// Where a point of the stage lies on the photo, as shares of its width and height, and back.
function onPhoto(point) {
  const room = stage.getBoundingClientRect(), size = fitted(room);
  return {
    x: .5 + (point.x - room.width / 2 - view.x) / (size.width * view.scale),
    y: .5 + (point.y - room.height / 2 - view.y) / (size.height * view.scale),
  };
}
function onStage(share) {
  const room = stage.getBoundingClientRect(), size = fitted(room);
  return {
    x: room.width / 2 + view.x + (share.x - .5) * size.width * view.scale,
    y: room.height / 2 + view.y + (share.y - .5) * size.height * view.scale,
  };
}
function zoom(factor, point, smooth) {
  const room = stage.getBoundingClientRect(), before = view.scale;
  view.scale = Math.min(MOST, Math.max(1, before * factor));
  const grown = view.scale / before;
  view.x = (point.x - room.width / 2) * (1 - grown) + view.x * grown;
  view.y = (point.y - room.height / 2) * (1 - grown) + view.y * grown;
  lay(smooth);
  if (!mark.hidden) put(at);
}
function whole() {
  view = {scale: 1, x: 0, y: 0};
  lay(true);
  if (!mark.hidden) put(at);
}
// The mark: put on a place of the photo, brought into view, its yarn named.
function put(share) {
  at = {x: Math.min(1, Math.max(0, share.x)), y: Math.min(1, Math.max(0, share.y))};
  const point = onStage(at);
  mark.hidden = false;
  mark.style.transform = `translate(${point.x}px,${point.y}px)`;
  name();
}
function follow() {
  const room = stage.getBoundingClientRect(), point = onStage(at), rim = 24;
  const missing = (value, length) => Math.min(0, value - rim) || Math.max(0, value - length + rim);
  view.x -= missing(point.x, room.width);
  view.y -= missing(point.y, room.height);
  lay();
  put(at);
}
function name() {
  const column = Math.min(threads?.width - 1, Math.floor(at.x * threads?.width));
  const row = Math.min(threads?.height - 1, Math.floor(at.y * threads?.height));
  const number = threads ? threads.seen[row * threads.width + column] : 0;
  if (number === under) return;
  under = number;
  const [yarns, crossing] = told.sights[number - 1] || [[], 0];
  strip.classList.toggle("lit", yarns.length > 0);
  [...strip.children].forEach((stripe, place) => stripe.classList.toggle("on", yarns.includes(place)));
  clearTimeout(saying);
  const lines = yarns.map((place, n) => {
    const yarn = told.yarns[place], swatch = make("i", {"aria-hidden": "true"});
    swatch.style.background = yarn.colour;
    const before = n ? [make("span", {class: "join"}, (crossing ? words.crossing : words.or) + " ")] : [];
    return make("p", {}, ...before, swatch, make("strong", {}, yarn.name), ...yarn.of.map(part => ", " + part));
  });
  // A reader is told once the hand rests; the eye at once would be read aloud at every thread.
  saying = setTimeout(() => names.replaceChildren(...lines), 120);
}

async function unpacked(address) {
  await new Promise((done, failed) => {
    const file = make("script", {src: address});
    file.onload = done;
    file.onerror = failed;
    document.head.append(file);
    file.remove();
  });
  const [width, height, packed] = window.underGlass;
  const bytes = Uint8Array.from(atob(packed), sign => sign.charCodeAt(0));
  const plain = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  return {width, height, seen: new Uint8Array(await new Response(plain).arrayBuffer())};
}
async function open(link) {
  const mine = ++turn;
  opener = link;
  const shown = link.querySelector("picture").cloneNode(true);
  picture = shown.querySelector("img");
  for (const each of shown.querySelectorAll("[sizes]")) each.sizes = "1600px";
  picture.removeAttribute("loading");
  picture.draggable = false;
  sheet.replaceChildren(shown);
  stage.setAttribute("aria-label", picture.alt);
  names.replaceChildren();
  strip.classList.remove("lit");
  threads = null; under = -1; at = {x: .5, y: .5}; mark.hidden = true; view = {scale: 1, x: 0, y: 0};
  if (!dialog.open) dialog.showModal();
  stage.focus();
  lay();
  delete stage.dataset.ready;
  if (link.dataset.threads && window.DecompressionStream) {
    const found = await unpacked(link.dataset.threads).catch(() => null);
    if (mine !== turn) return; // another photo was opened meanwhile, or this one again
    threads = found;
    under = -1;
    if (!mark.hidden) name();
  }
  stage.dataset.ready = threads ? "named" : "plain";
}
document.addEventListener("click", event => {
  const link = event.target.closest?.("a.glass");
  if (!link || event.button || event.ctrlKey || event.metaKey || event.shiftKey || event.altKey) return;
  event.preventDefault();
  open(link);
});
dialog.addEventListener("close", () => { clearTimeout(saying); fingers.clear(); opener?.focus(); });
dialog.addEventListener("click", event => {
  const key = event.target.closest("button")?.dataset.key;
  if (key) press(key);
  else if (event.target === dialog) dialog.close();
});
addEventListener("resize", () => { if (dialog.open) { lay(); if (!mark.hidden) put(at); } });

function press(key) {
  const step = .04 / view.scale, ways = {ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1]};
  const middle = mark.hidden ? {x: stage.clientWidth / 2, y: stage.clientHeight / 2} : onStage(at);
  if (ways[key]) {
    if (mark.hidden) put(onPhoto(middle));
    else put({x: at.x + ways[key][0] * step, y: at.y + ways[key][1] * step});
    follow();
  } else if (key === "+" || key === "=") zoom(1.6, middle, true);
  else if (key === "-" || key === "_") zoom(1 / 1.6, middle, true);
  else if (key === "0") whole();
  else if (key === "Escape") dialog.close();
  else return false;
  return true;
}
stage.addEventListener("keydown", event => {
  if (event.ctrlKey || event.metaKey || event.altKey || event.key === "Escape") return;
  if (press(event.key)) event.preventDefault();
});

const local = event => {
  const room = stage.getBoundingClientRect();
  return {x: event.clientX - room.left, y: event.clientY - room.top};
};
const within = share => share.x >= 0 && share.x <= 1 && share.y >= 0 && share.y <= 1;
function touch(point) {
  const share = onPhoto(point);
  if (within(share)) put(share);
}
let lastTap = {time: 0, x: 0, y: 0}, moved = 0;
stage.addEventListener("pointerdown", event => {
  if (event.button) return;
  stage.setPointerCapture(event.pointerId);
  fingers.set(event.pointerId, local(event));
  moved = 0;
  if (fingers.size === 1) touch(local(event));
});
stage.addEventListener("pointermove", event => {
  const point = local(event), before = fingers.get(event.pointerId);
  if (!before) { if (event.pointerType === "mouse") touch(point); return; }
  moved += Math.hypot(point.x - before.x, point.y - before.y);
  if (fingers.size === 2) pinch(event.pointerId, before, point);
  else if (view.scale > 1 && moved > 4) {
    view.x += point.x - before.x;
    view.y += point.y - before.y;
    lay();
    put(at);
  } else touch(point);
  fingers.set(event.pointerId, point);
});
function pinch(moving, before, point) {
  const [other] = [...fingers].filter(([id]) => id !== moving).map(([, place]) => place);
  const apart = place => Math.hypot(place.x - other.x, place.y - other.y) || 1;
  view.x += (point.x - before.x) / 2;
  view.y += (point.y - before.y) / 2;
  zoom(apart(point) / apart(before), {x: (point.x + other.x) / 2, y: (point.y + other.y) / 2});
}
function lift(event) {
  const alone = fingers.size === 1;
  if (!fingers.delete(event.pointerId) || event.type === "pointercancel" || !alone || moved > 8) return;
  const point = local(event), now = event.timeStamp;
  const twice = now - lastTap.time < 350 && Math.hypot(point.x - lastTap.x, point.y - lastTap.y) < 30;
  lastTap = {time: twice ? 0 : now, ...point};
  if (twice) view.scale > 1.5 ? whole() : zoom(3, point, true);
}
stage.addEventListener("pointerup", lift);
stage.addEventListener("pointercancel", lift);
stage.addEventListener("wheel", event => {
  event.preventDefault();
  zoom(Math.exp(-Math.max(-60, Math.min(60, event.deltaY * (event.deltaMode ? 20 : 1))) / 200), local(event));
}, {passive: false});
})();
