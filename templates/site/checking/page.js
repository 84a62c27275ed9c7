// The page: a file dropped or chosen, or a number, and what is to be said of it. Every word of a
// statement is put in as text, and only words that were signed are shown as if they were true.
(() => {
"use strict";
const checking = window.checking, block = document.getElementById("checking");
if (!block) return;
const {trusted, words, language} = JSON.parse(block.textContent);
const root = document.querySelector(".checking"), form = root.querySelector(".give");
const [file, number] = form.querySelectorAll("input"), drop = form.querySelector(".drop");
const panel = root.querySelector(".verdict"), legend = root.querySelector(".verdicts"), status = root.querySelector("[role=status]");
const isServed = location.protocol.startsWith("http"), MOST_BYTES = 60_000_000;

const make = (name, attributes, ...inside) => {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...inside);
  return made;
};
const say = (name, values = {}) => words[name].replace(/\{(\w+)\}/g, (_, key) => values[key] ?? "");
const day = iso => {
  const when = new Date(iso);
  return Number.isNaN(when.getTime()) ? iso : when.toLocaleDateString(language, {dateStyle: "long", timeZone: "UTC"});
};
const text = value => typeof value === "string" ? value : "";

// Labels and values, those that are known.
function facts(pairs) {
  const known = pairs.filter(([, value]) => value);
  return make("dl", {}, ...known.map(([label, value]) => make("div", {}, make("dt", {}, label), make("dd", {}, value))));
}
const listOf = (heading, lines) => make("div", {}, make("h3", {}, heading), make("ul", {}, ...lines.map(line => make("li", {}, line))));

function heading(verdict, why) {
  const row = legend.querySelector(`[data-verdict=${verdict}]`);
  const told = why ? words[why] : row.querySelector("p").textContent;
  status.textContent = `${row.querySelector("strong").textContent}. ${told}`;
  const title = make("h2", {}, row.querySelector("strong").textContent);
  return make("div", {class: "heading"}, row.querySelector("svg").cloneNode(true), make("div", {}, title, make("p", {}, told)));
}

function show(found, name) {
  panel.className = `verdict is-${found.verdict}`;
  panel.replaceChildren(heading(found.verdict, found.why), ...parts(found), make("p", {class: "small"}, say("checked", {file: name, day: day(new Date().toISOString())})));
  panel.hidden = false;
  legend.hidden = true;
  panel.scrollIntoView({block: "nearest"});
}
function parts({verdict, statement, key, differs = []}) {
  if (verdict === "genuine") return [facts(told(statement, key)), ...beyond(verdict)];
  if (!differs.length) return [];
  const rows = differs.map(([place, here, there]) => make("li", {}, make("strong", {}, place), make("span", {}, say("here", {words: here || "–"})), make("span", {}, say("there", {words: there || "–"}))));
  return [make("h3", {}, words.differs), make("ul", {class: "differs"}, ...rows)];
}
const beyond = () => [make("div", {class: "means"}, listOf(words.proves, [words.proves_signed, words.proves_whole]), listOf(words.proves_not, [words.not_object, words.not_paper, words.not_day]))];
function told(statement, key) {
  const subject = statement.credentialSubject;
  return [
    [words.number, text(subject.identifier)], [words.title, text(subject.name)], [words.maker, text(statement.issuer.name)],
    [words.issued, day(text(statement.validFrom))], [words.key, `${key.fingerprint}`],
  ];
}

// The statement that is published here for the same piece, where a page may ask for it.
async function fetched(number) {
  if (!isServed || !/^[\w.-]+$/.test(number)) return null;
  try {
    const answer = await fetch(`../${encodeURIComponent(number)}/${trusted.statement}`, {cache: "no-store", credentials: "omit"});
    return answer.ok ? new Uint8Array(await answer.arrayBuffer()) : null;
  } catch { return null; }
}
async function withDifferences(found) {
  if (found.verdict !== "changed" || !found.statement) return found;
  const bytes = await fetched(text(found.statement.credentialSubject.identifier));
  const genuine = bytes && await checking.judge(bytes, trusted);
  return genuine?.verdict === "genuine" ? {...found, differs: checking.differences(found.statement, genuine.statement)} : found;
}

async function check(bytes, name) {
  if (!await checking.isAble()) return unable();
  show(await withDifferences(await checking.judge(bytes, trusted)), name);
}
function unable() {
  status.textContent = words.unable;
  panel.className = "verdict is-unable";
  panel.replaceChildren(make("p", {}, words.unable), make("code", {}, "provenance verify certificate.pdf"));
  panel.hidden = false;
}
async function checkFile(given) {
  if (!given) return;
  if (given.size > MOST_BYTES) return show({verdict: "foreign", why: "too_large"}, given.name);
  await check(new Uint8Array(await given.arrayBuffer()), given.name);
}
async function checkNumber() {
  const asked = number.value.trim(), bytes = await fetched(asked);
  if (bytes) return check(bytes, `${asked}/${trusted.statement}`);
  status.textContent = say("not_there", {number: asked});
  panel.className = "verdict is-unable";
  panel.replaceChildren(make("p", {}, status.textContent));
  panel.hidden = false;
}

form.hidden = false;
root.querySelector(".no-script").hidden = true;
form.querySelector(isServed ? ".by-number" : ".from-disk").hidden = false;
form.addEventListener("submit", event => { event.preventDefault(); checkNumber(); });
file.addEventListener("change", async () => { await checkFile(file.files[0]); file.value = ""; });
// A file that is dropped beside the field would take the page's place.
addEventListener("dragover", event => { event.preventDefault(); drop.classList.add("over"); });
addEventListener("dragleave", event => { if (!event.relatedTarget) drop.classList.remove("over"); });
addEventListener("drop", event => {
  event.preventDefault();
  drop.classList.remove("over");
  checkFile(event.dataTransfer.files[0]);
});
// A piece's page leads here with its number.
if (isServed && location.hash.length > 1) {
  number.value = decodeURIComponent(location.hash.slice(1));
  checkNumber();
}
})();
