// What happened at the stall: a running log, kept on this phone where its browser lets it.
const told = JSON.parse(document.getElementById("stall").textContent), words = told.words;
const KEY = `stall ${told.studio} ${told.outlet}`;
const pieces = new Map(told.pieces.map(each => [each.number, each]));
let log = [], keeps = false, isWhole = true;

function read() {
  try {
    localStorage.setItem(`${KEY} try`, "1");
    localStorage.removeItem(`${KEY} try`);
    keeps = true;
    const kept = localStorage.getItem(KEY);
    const found = kept ? JSON.parse(kept) : [];
    if (!Array.isArray(found) || !found.every(each => each && typeof each.number === "string" && typeof each.did === "string")) throw new SyntaxError(KEY);
    log = found;
  } catch (error) {
    // Unreadable notes are put aside, never written over.
    if (keeps && error instanceof SyntaxError) {
      isWhole = false;
      localStorage.setItem(`${KEY} damaged ${Date.now()}`, localStorage.getItem(KEY));
    }
    log = [];
  }
}
function write() {
  try {
    if (keeps) localStorage.setItem(KEY, JSON.stringify(log));
  } catch { keeps = false; }
}
const two = number => String(number).padStart(2, "0");
const dayOf = date => `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
const today = () => dayOf(new Date());
function note(entry) {
  const now = new Date();
  log.push({day: dayOf(now), time: `${two(now.getHours())}:${two(now.getMinutes())}`, back: false, ...entry});
  write();
}
// How many of a piece are left: what a newer file counts as sold already is not counted twice.
function leftOf(number) {
  const piece = pieces.get(number), days = new Map();
  if (!piece) return 0;
  for (const each of log)
    if (each.number === number && each.did === "sold" && !each.back) days.set(each.day, (days.get(each.day) || 0) + each.items);
  let gone = 0;
  for (const [day, items] of days) gone += Math.max(0, items - (piece.sold[day] || 0));
  return piece.left - gone;
}
// Until when it is kept for somebody: a day, "" for no day, null when it is not kept.
function keptUntil(number) {
  const last = log.filter(each => each.number === number && each.did !== "sold" && !each.back).at(-1);
  if (last) return last.did === "reserved" ? last.until : null;
  return pieces.get(number)?.until ?? null;
}
function takings() {
  const days = new Map();
  for (const each of log.filter(one => one.did === "sold" && !one.back)) {
    const sums = days.get(each.day) || {card: 0, cash: 0, other: 0, all: 0, items: 0};
    sums[each.way] += each.price * each.items;
    sums.all += each.price * each.items;
    sums.items += each.items;
    days.set(each.day, sums);
  }
  return [...days].sort(([one], [other]) => one < other ? 1 : -1);
}
// A price as it was typed, in the smallest coins; null for none: 480, 38.50, 1 250,00.
function coins(text) {
  const found = text.replace(/[\s\u00a0\u202f£$€]/g, "").match(/^(\d{1,7})(?:[.,](\d+))?$/);
  if (!found || (found[2] || "").length > told.decimals) return null;
  const sum = Number(found[1] + (found[2] || "").padEnd(told.decimals, "0"));
  return sum > 0 ? sum : null;
}
const form = exact => new Intl.NumberFormat(told.language, {style: "currency", currency: told.currency,
  minimumFractionDigits: exact ? told.decimals : 0, maximumFractionDigits: exact ? told.decimals : 0});
const money = sum => form(sum % 10 ** told.decimals !== 0).format(sum / 10 ** told.decimals);
const dayWords = day => new Intl.DateTimeFormat(told.language, {day: "numeric", month: "long", year: "numeric"}).format(new Date(`${day}T12:00`));
const say = (name, values = {}) => words[name].replace(/\{(\w+)\}/g, (_, word) => values[word]);
