// The page: list, a piece's sheet, takings, what goes home.
const id = name => document.getElementById(name);
const make = (name, attributes, ...inside) => {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...inside);
  return made;
};
const rows = [...document.querySelectorAll("li[data-number]")];
const sheet = id("sheet"), part = name => sheet.querySelector(name);
let open = null;

function standingOf(number) {
  const left = leftOf(number), kept = keptUntil(number), piece = pieces.get(number);
  if (left < 1) return words.sold;
  if (kept !== null) return kept ? say("kept_until", {day: dayWords(kept)}) : words.kept;
  return piece.made > 1 ? say("left", {number: left}) : "";
}
function show() {
  for (const row of rows) {
    row.querySelector(".standing").textContent = standingOf(row.dataset.number);
    row.classList.toggle("gone", leftOf(row.dataset.number) < 1);
  }
  if (open) showState();
  showTakings();
  showHome();
  id("forgetful").hidden = keeps;
}
// Search: every word of it, in number, title and facts; digits alone find the end of a number.
const plain = text => text.toLowerCase().normalize("NFD").replace(/[\u0300-\u036f]/g, "");
const texts = new Map(rows.map(row => [row, plain(row.textContent)]));
function find() {
  const asked = plain(id("find").value).split(/\s+/).filter(Boolean);
  let count = 0;
  for (const row of rows) {
    const number = row.dataset.number;
    row.hidden = !asked.every(word => /^\d+$/.test(word) ? number.replaceAll("-", "").endsWith(word.padStart(3, "0")) || number.includes(word) : texts.get(row).includes(word));
    count += !row.hidden;
  }
  id("none").hidden = count > 0;
  id("found").textContent = asked.length ? say("found", {number: count}) : "";
}
function openSheet(row) {
  open = row.dataset.number;
  const piece = pieces.get(open), picture = row.querySelector("img");
  part(".picture").replaceChildren(...picture ? [picture.cloneNode()] : []);
  for (const name of ["number", "title"]) part(`h2 .${name}`).textContent = row.querySelector(`.${name}`).textContent;
  part(".kind").textContent = row.querySelector(".kind").textContent;
  part(".price").textContent = row.querySelector(".price").textContent;
  part(".facts").replaceChildren(...[...row.querySelector(".facts").childNodes].map(each => each.cloneNode(true)));
  const whole = piece.price % 10 ** told.decimals === 0;
  id("price").value = (piece.price / 10 ** told.decimals).toFixed(whole ? 0 : told.decimals).replace(".", told.comma ? "," : ".");
  const later = new Date();
  later.setDate(later.getDate() + 7);
  id("until").min = today();
  id("until").value = dayOf(later);
  showState();
  sheet.showModal();
  sheet.scrollTop = 0;
}
function showState() {
  const piece = pieces.get(open), left = leftOf(open), kept = keptUntil(open);
  part(".standing").textContent = standingOf(open);
  part("form").hidden = id("deal").hidden = left < 1;
  part(".items").hidden = left < 2;
  id("items").replaceChildren(...Array.from({length: Math.max(1, left)}, (_, at) => make("option", {}, String(at + 1))));
  part(".aside").hidden = piece.made > 1;
  id("free").disabled = kept === null;
  id("wrong").textContent = "";
  id("price").removeAttribute("aria-invalid");
}
function wrong(name) {
  id("wrong").textContent = words[name];
  const field = id(name === "no_price" ? "price" : "until");
  field.setAttribute("aria-invalid", "true");
  field.focus();
}
function sold(way) {
  const price = coins(id("price").value), items = part(".items").hidden ? 1 : Number(id("items").value);
  if (price === null) return wrong("no_price");
  const title = part("h2 .title").textContent;
  note({number: open, title, did: "sold", price, items, way});
  done();
}
function keep(did) {
  const until = did === "reserved" ? id("until").value : "";
  if (until && until < today()) return wrong("past");
  note({number: open, title: part("h2 .title").textContent, did, until});
  done();
}
function done() {
  sheet.close();
  show();
  announce(log.length - 1);
}
let quiet = 0;
function announce(at) {
  const box = id("said");
  box.hidden = false;
  box.querySelector("p").textContent = entryWords(log[at]);
  box.querySelector("button").onclick = () => { turn(at); box.hidden = true; };
  clearTimeout(quiet);
  quiet = setTimeout(() => { if (!box.matches(":focus-within")) box.hidden = true; }, 20000);
}
// A line of the log taken back, or put back where that still can be.
function turn(at) {
  const each = log[at];
  if (each.back && each.did === "sold" && pieces.has(each.number) && leftOf(each.number) < each.items) return;
  each.back = !each.back;
  write();
  show();
}
function entryWords(each) {
  const named = `${each.number} ${each.title}: `;
  if (each.did === "freed") return named + words.freed;
  if (each.did === "reserved") return named + (each.until ? say("kept_until", {day: dayWords(each.until)}) : words.kept);
  const price = each.items > 1 ? `${each.items} × ${money(each.price)}` : money(each.price);
  return named + say("sold_by", {price, way: words[each.way]});
}
function tableOf(day, sums) {
  const name = day === today() ? say("today", {day: dayWords(day)}) : dayWords(day);
  const line = (head, sum, kind) => make("tr", {class: kind}, make("th", {scope: "row"}, head), make("td", {class: "sum"}, money(sum)));
  const ways = told.ways.filter(way => sums[way]).map(way => line(words[way], sums[way], ""));
  return make("table", {}, make("caption", {}, name), make("tbody", {}, ...ways, line(say("in_all", {number: sums.items}), sums.all, "all")));
}
function showTakings() {
  const days = takings(), none = {card: 0, cash: 0, other: 0, all: 0, items: 0};
  if (!days.some(([day]) => day === today())) days.unshift([today(), none]);
  id("sums").replaceChildren(...days.map(([day, sums]) => tableOf(day, sums)));
  id("log").replaceChildren(...log.map((each, at) => {
    const button = make("button", {type: "button", "aria-label": `${each.back ? words.put_back : words.take_back}: ${entryWords(each)}`}, each.back ? words.put_back : words.take_back);
    button.onclick = () => { turn(at); id("log").querySelectorAll("button")[log.length - 1 - at].focus(); };
    const when = make("span", {class: "small"}, `${each.day} ${each.time} `);
    const text = make("span", each.back ? {class: "back"} : {}, entryWords(each));
    return make("li", {}, make("p", {}, when, text, ...each.back ? [` (${words.taken_back})`] : []), button);
  }).reverse());
  id("empty").hidden = log.length > 0;
}
function drawn(text, turn, count) {
  const modules = codeOf(text), side = modules.length + 8, space = "http://www.w3.org/2000/svg";
  const svg = document.createElementNS(space, "svg"), path = document.createElementNS(space, "path");
  svg.setAttribute("viewBox", `0 0 ${side} ${side}`);
  svg.setAttribute("role", "img");
  svg.setAttribute("aria-label", say("code", {number: turn + 1, count}));
  path.setAttribute("d", modules.flatMap((row, y) => row.map((dark, x) => dark ? `M${x + 4} ${y + 4}h1v1h-1z` : "")).join(""));
  svg.append(path);
  return make("figure", {}, svg, make("figcaption", {class: "small"}, say("code", {number: turn + 1, count})));
}
function showHome() {
  const lines = linesOf(log, told.decimals, pieces), head = signed(`stall ${told.outlet}`);
  id("carried").hidden = !lines.length;
  id("bare").hidden = lines.length > 0;
  id("lines").value = [head, ...lines, ""].join("\n");
  const texts = lines.length && !id("home").hidden ? portions(head, lines) : [];
  id("codes").replaceChildren(...texts.map((text, turn) => drawn(text, turn, texts.length)));
}
const fileOf = () => new File([id("lines").value], `${told.file}-${today()}.txt`, {type: "text/plain"});
function save() {
  const file = fileOf(), link = make("a", {href: URL.createObjectURL(file), download: file.name});
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60000);
}
async function copy() {
  try { await navigator.clipboard.writeText(id("lines").value); } catch {
    id("lines").select();
    if (!document.execCommand("copy")) return;
  }
  id("copy").textContent = words.copied;
  setTimeout(() => { id("copy").textContent = words.copy; }, 4000);
}
function turnTo(button) {
  for (const each of document.querySelectorAll("nav button")) {
    each.toggleAttribute("aria-current", false);
    id(each.dataset.part).hidden = each !== button;
  }
  button.setAttribute("aria-current", "page");
  id("said").hidden = true;
  showHome();
  scrollTo(0, 0);
  id(`h-${button.dataset.part}`)?.focus();
}

document.documentElement.classList.add("scripted");
read();
for (const row of rows) {
  const flat = row.querySelector(".row"), button = make("button", {type: "button", class: "row"}, ...flat.childNodes);
  flat.replaceWith(button);
  button.onclick = () => openSheet(row);
  row.querySelector(".facts").dataset.kept = "";
}
for (const each of document.querySelectorAll("nav, .find")) each.hidden = false;
for (const button of document.querySelectorAll("nav button")) button.onclick = () => turnTo(button);
for (const button of document.querySelectorAll("[data-way]")) button.onclick = () => sold(button.dataset.way);
id("find").oninput = find;
part(".close").onclick = () => sheet.close();
sheet.onclose = () => { open = null; };
id("deal").onclick = () => { id("h-deal").scrollIntoView(); id("h-deal").focus({preventScroll: true}); };
part("form").onsubmit = event => event.preventDefault();
id("keep").onclick = () => keep("reserved");
id("free").onclick = () => keep("freed");
id("save").onclick = save;
id("copy").onclick = copy;
id("share").hidden = !(navigator.canShare && navigator.canShare({files: [fileOf()]}));
id("share").onclick = () => navigator.share({files: [fileOf()]}).catch(() => {});
id("clear").onclick = () => {
  if (!confirm(words.clear_sure)) return;
  log = [];
  write();
  show();
};
// The same stall open twice on one phone: what the other page notes is seen here.
addEventListener("storage", event => { if (event.key === KEY) { read(); show(); } });
id("damaged").hidden = isWhole;
show();
