// The page: a file dropped or chosen, or a number, and what is to be said of it. Words of a statement
// are put in as text, and shown as the studio's only where its signature holds.
(() => {
"use strict";
const checking = window.checking, block = document.getElementById("checking");
if (!block) return;
const {trusted, words, reasons, language} = JSON.parse(block.textContent), keys = trusted.keys;
const root = document.querySelector(".checking"), form = root.querySelector(".give");
const [file, number] = form.querySelectorAll("input"), drop = form.querySelector(".drop");
const panel = root.querySelector(".verdict"), legend = root.querySelector(".verdicts"), status = root.querySelector("[role=status]");
const isServed = location.protocol.startsWith("http"), MOST_BYTES = 100_000_000;

const make = (name, attributes, ...inside) => {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...inside);
  return made;
};
const filled = (text, values) => text.replace(/\{(\w+)\}/g, (_, key) => values[key] ?? "");
const say = (name, values = {}) => filled(words[name], values);
const day = iso => {
  const when = new Date(iso);
  return Number.isNaN(when.getTime()) ? iso : when.toLocaleDateString(language, {dateStyle: "long", timeZone: "UTC"});
};
const text = value => typeof value === "string" ? value : "";
const sentence = words => words && words[0].toLocaleUpperCase(language) + words.slice(1) + (/[.!?]$/.test(words) ? "" : ".");

// The answer's sign and name, its sentence, and what it was that decided.
function heading({verdict, why, values}) {
  const row = legend.querySelector(`[data-verdict=${verdict.replace(" ", "_")}]`), name = row.querySelector("strong").textContent;
  const inDays = Object.entries(values).map(([key, value]) => [key, key === "day" ? day(value) : value]);
  const told = row.querySelector("p").textContent, reason = why ? sentence(filled(reasons[why], Object.fromEntries(inDays))) : "";
  status.textContent = [`${name}.`, told, reason].join(" ");
  const lines = [make("h2", {}, name), make("p", {}, told), ...reason ? [make("p", {class: "small"}, reason)] : []];
  return make("div", {class: "heading"}, row.querySelector("svg").cloneNode(true), make("div", {}, ...lines));
}
function put(kind, ...inside) {
  panel.className = `verdict is-${kind}`;
  panel.replaceChildren(...inside);
  panel.hidden = false;
  const top = panel.getBoundingClientRect().top;
  if (top < 0 || top > innerHeight / 2) panel.scrollIntoView();
}
// What can't be answered: it is no verdict.
function tell(words, ...more) {
  status.textContent = words;
  put("none", make("p", {}, words), ...more);
}

async function show(found, name) {
  const parts = found.verdict === "genuine" ? await genuine(found) : await differing(found);
  legend.hidden = true;
  put(found.verdict.replace(" ", "-"), heading(found), ...parts, make("p", {class: "small"}, say("checked", {file: name, day: day(new Date().toISOString())})));
}
async function genuine({statement, key}) {
  const {credentialSubject: subject} = statement, issue = text(statement.issue?.issueNumber);
  const piece = make("p", {class: "piece-named"}, make("span", {class: "number"}, text(subject.identifier)), " ", make("span", {class: "title"}, text(subject.name)));
  const means = [[words.proves, [words.proves_signed, words.proves_key]], [words.proves_not, [words.not_object, words.not_paper, words.not_day]]];
  return [
    ...await newer(statement, Number(issue)),
    make("div", {class: "told-of"}, make("div", {}, piece, facts(statement, issue, key)), ...await picture(statement)),
    make("div", {class: "means"}, ...means.map(([name, lines]) => make("div", {}, make("h3", {}, name), make("ul", {}, ...lines.map(line => make("li", {}, line)))))),
    all(statement),
  ];
}
// Every word of it, for those who want to hold the paper to it line by line.
function all(statement) {
  const rows = [...checking.leaves(statement)].filter(([place]) => !place.startsWith("proof."));
  const told = rows.map(([place, value]) => make("div", {}, make("dt", {}, place), make("dd", {}, value)));
  return make("details", {}, make("summary", {}, words.all), make("dl", {class: "small"}, ...told));
}
function facts({credentialSubject: subject, validFrom}, issue, {fingerprint, until}) {
  const sides = [subject.height, subject.width, subject.depth].map(side => text(side?.value)).filter(Boolean);
  const told = [
    [words.maker, text(subject.creator?.name)],
    [words.size, sides.length ? `${sides.map(side => side.replace(".", comma)).join(" × ")} cm` : ""],
    [words.made, text(subject.dateCreated) && day(subject.dateCreated)],
    [words.issued, issue && say("of_issue", {day: day(text(validFrom)), issue})],
    [words.key, say(until ? "key_retired" : "key_in_use", {fingerprint, day: day(until)})],
  ].filter(([, value]) => value);
  return make("dl", {}, ...told.map(([label, value]) => make("div", {}, make("dt", {}, label), make("dd", {}, value))));
}
const comma = (1.5).toLocaleString(language)[1];

// Where something of this site lies from here; null for what is no address of it.
function near(address) {
  const site = checking.addressOf(trusted.did);
  const path = text(address).startsWith(`${site}/`) ? address.slice(site.length + 1) : "";
  return /^[\w-]+\/[\w-]+\.(?:json|jsonld|jpg)$/.test(path) ? `../${path}` : null;
}
// Its bytes; false where nothing lies there, null where nobody can tell.
async function fetched(address) {
  if (!isServed || !address) return null;
  try {
    const answer = await fetch(address, {cache: "no-store", credentials: "omit"});
    return answer.ok ? new Uint8Array(await answer.arrayBuffer()) : answer.status === 404 ? false : null;
  } catch { return null; }
}
// The first of the pictures, held against its signed digest where a page may read it. One that was
// replaced since lies under another name.
async function picture({relatedResource, credentialSubject: subject}) {
  const first = Array.isArray(relatedResource) ? relatedResource.find(each => each?.mediaType === "image/jpeg") : null;
  const address = near(first?.id), bytes = await fetched(address);
  if (!address || (isServed && bytes === null)) return [];
  const isSame = bytes && await checking.digestOf(bytes) === first.digestMultibase;
  const told = make("figcaption", {class: "small"}, say(isSame ? "picture_same" : bytes ? "picture_other" : isServed ? "picture_gone" : "picture_unread"));
  if (isServed && !isSame) return [make("figure", {}, told)];
  const shown = make("img", {src: address, alt: say("picture_alt", {number: text(subject.identifier), title: text(subject.name)})});
  shown.onerror = () => { shown.remove(); told.textContent = say("picture_gone"); };
  return [make("figure", {}, shown, told)];
}
// A statement of now names the files of now; an issued one those of its day, which may be replaced.
async function withFiles(found) {
  if (found.verdict !== "genuine" || "issue" in found.statement) return found;
  for (const {id, digestMultibase} of [found.statement.relatedResource ?? []].flat()) {
    const bytes = await fetched(near(id));
    if (bytes && await checking.digestOf(bytes) !== digestMultibase) return {...found, verdict: "changed", why: "other_pictures"};
  }
  return found;
}
// The newest issue of the same certificate, where a later one was published.
async function newer(statement, issue) {
  let last = issue;
  const next = () => near(text(statement.id).replace(/certificate-\d+\.json$/, `certificate-${last + 1}.json`));
  while (issue && last < 999 && await fetched(next())) last += 1;
  return last > issue ? [make("p", {class: "newer"}, say("newer", {issue: last}))] : [];
}
// Places that have a word of the page beside them.
const CALLED = {
  "credentialSubject.identifier": "number", "credentialSubject.name": "title", "credentialSubject.creator.name": "maker",
  "credentialSubject.height.value": "size", "credentialSubject.width.value": "size", "credentialSubject.depth.value": "size",
  "credentialSubject.dateCreated": "made", validFrom: "issued",
};
// How a changed statement differs from the genuine one that is published under its name.
async function differing({verdict, statement}) {
  const bytes = verdict === "changed" ? await fetched(near(statement?.id)) : null;
  const there = bytes && await checking.judge(bytes, keys);
  if (there?.verdict !== "genuine") return [];
  const rows = checking.differences(statement, there.statement).map(([place, mine, theirs]) => make("li", {},
    make("strong", {}, place in CALLED ? `${words[CALLED[place]]} (${place})` : place), make("span", {}, say("here", {words: mine || "–"})), make("span", {}, say("there", {words: theirs || "–"}))));
  return rows.length ? [make("h3", {}, words.differs), make("ul", {class: "differs"}, ...rows)] : [];
}

async function check(bytes, name) {
  if (!await checking.isAble()) return tell(words.unable, make("code", {}, "provenance verify certificate.pdf"));
  await show(await withFiles(await checking.judge(bytes, keys)), name);
}
async function checkFile(given) {
  if (!given) return;
  if (given.size > MOST_BYTES) return show({verdict: "not ours", why: "too_large", values: {}}, given.name);
  await check(new Uint8Array(await given.arrayBuffer()), given.name);
}
async function checkNumber() {
  const asked = number.value.trim(), address = /^[\w-]+$/.test(asked) ? `../${asked}/${trusted.statement}` : null;
  const bytes = await fetched(address);
  return bytes ? check(bytes, `${asked}/${trusted.statement}`) : tell(say("not_there", {number: asked}));
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
  number.value = location.hash.slice(1);
  checkNumber();
}
})();
