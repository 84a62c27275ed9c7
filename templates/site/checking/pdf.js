// The statement inside a certificate: a PDF is read as ISO 32000-1 says (7.5: cross-reference table
// or stream, object streams; 7.11.4: embedded files), as far as that file inside it needs. A PDF
// that is cut short, locked or broken is refused, never mended: what is checked is what is there.
(() => {
"use strict";
const checking = window.checking;
const MOST_INSIDE = 20_000_000, DEEPEST = 40, MOST_STEPS = 1_000_000, MOST_NODES = 1000;
let steps = 0;  // of the file that is read
const broken = () => { throw new checking.Refused("broken_pdf"); };
const refuse = why => { throw new checking.Refused(why); };
const GAP = /(?:[\0\t\n\f\r ]|%[^\r\n]*)*/y;
const REFERENCE = /(\d{1,10})[\0\t\n\f\r ]+(\d{1,5})[\0\t\n\f\r ]+R(?![A-Za-z0-9])/y;
const HEAD = /(\d{1,10})[\0\t\n\f\r ]+(\d{1,5})[\0\t\n\f\r ]+obj/y;
const NUMBER = /[+-]?(?:\d+\.?\d*|\.\d+)/y, NAME = /\/[^\0\t\n\f\r ()<>[\]{}/%]*/y;
const WORD = /true|false|null/y, HEX = /<[0-9A-Fa-f\0\t\n\f\r ]*>/y;
const isDict = value => value !== null && typeof value === "object" && !Array.isArray(value) && !("ref" in value);

const SIGNS = {n: "\n", r: "\r", t: "\t", b: "\b", f: "\f"};
const unescaped = text => text.replace(/\\([0-7]{1,3}|\r\n|[^])/g, (_, sign) => {
  if (/[0-7]/.test(sign[0])) return String.fromCharCode(parseInt(sign, 8) & 255);
  return /[\r\n]/.test(sign[0]) ? "" : SIGNS[sign] ?? sign;
});
const fromHex = text => text.replace(/[^0-9A-Fa-f]/g, "").replace(/..?/g, two => String.fromCharCode(parseInt(two.padEnd(2, "0"), 16)));
// A text of the document: UTF-16 behind its mark, else a letter for each byte.
const asText = text => text.startsWith("\u00fe\u00ff") ? text.slice(2).replace(/[^][^]/g, two => String.fromCharCode(two.charCodeAt(0) * 256 + two.charCodeAt(1))) : text;

// One object after another: names as "/Name", texts as {text}, references as {ref}.
class Objects {
  constructor(text, at = 0) { this.text = text; this.at = at; }

  take(pattern) {
    pattern.lastIndex = this.at;
    const found = pattern.exec(this.text);
    if (found) this.at = pattern.lastIndex;
    return found;
  }
  starts(sign) {
    this.take(GAP);
    if (!this.text.startsWith(sign, this.at)) return false;
    this.at += sign.length;
    return true;
  }
  value(depth = 0) {
    if (depth > DEEPEST || ++steps > MOST_STEPS) broken();
    if (this.starts("<<")) return this.dict(depth);
    if (this.starts("[")) return this.array(depth);
    if (this.starts("(")) return this.brackets();
    const reference = this.take(REFERENCE);
    if (reference) return {ref: Number(reference[1])};
    const number = this.take(NUMBER) ?? this.take(NAME);
    if (number) return number[0][0] === "/" ? number[0] : Number(number[0]);
    const word = this.take(WORD);
    if (word) return JSON.parse(word[0]);
    const hex = this.take(HEX) ?? broken();
    return {text: fromHex(hex[0])};
  }
  dict(depth) {
    const made = Object.create(null);
    while (!this.starts(">>")) {
      this.take(GAP);
      const name = this.take(NAME) ?? broken();
      made[name[0].slice(1)] = this.value(depth + 1);
    }
    return made;
  }
  array(depth) {
    const made = [];
    while (!this.starts("]")) made.push(this.value(depth + 1));
    return made;
  }
  // A text in brackets, which may hold brackets in pairs.
  brackets() {
    const start = this.at;
    for (let open = 1; open; this.at += 1) {
      const sign = this.text[this.at] ?? broken();
      if (sign === "\\") this.at += 1;
      else if (sign === "(") open += 1;
      else if (sign === ")") open -= 1;
    }
    return {text: unescaped(this.text.slice(start, this.at - 1))};
  }
}

async function inflate(bytes) {
  const parts = [];
  let length = 0;
  try {
    const reader = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate")).getReader();
    for (let part = await reader.read(); !part.done; part = await reader.read()) {
      length += part.value.length;
      if (length > MOST_INSIDE) broken();
      parts.push(part.value);
    }
  } catch { broken(); }
  return new Uint8Array(await new Blob(parts).arrayBuffer());
}

// Rows that tell how they differ from the row above (PNG's ways; here only "none", "sub" and "up").
function unfiltered(bytes, width) {
  const rows = Math.floor(bytes.length / (width + 1)), plain = new Uint8Array(rows * width);
  for (let row = 0; row < rows; row += 1) {
    const from = row * (width + 1), to = row * width, way = bytes[from];
    if (way > 2) broken();
    for (let n = 0; n < width; n += 1) {
      const before = way === 1 && n ? plain[to + n - 1] : way === 2 && row ? plain[to + n - width] : 0;
      plain[to + n] = bytes[from + 1 + n] + before;
    }
  }
  return plain;
}

const letters = bytes => new TextDecoder("latin1").decode(bytes);
const whole = bytes => bytes.reduce((sum, byte) => sum * 256 + byte, 0);

class Pdf {
  constructor(bytes) {
    this.bytes = bytes;
    this.text = letters(bytes);  // a letter for each byte, so that places are the same
    this.places = new Map();
    this.trailer = null;
  }

  async open() {
    const end = [...this.text.slice(-1100).matchAll(/startxref\s+(\d{1,10})\s+%%EOF/g)].at(-1);
    if (!this.text.startsWith("%PDF-") || !end) broken();
    const seen = new Set(), waiting = [Number(end[1])];
    while (waiting.length) {
      const at = waiting.shift();
      if (seen.has(at)) broken();
      seen.add(at);
      const trailer = await this.section(at);
      this.trailer ??= trailer;
      // A table may be completed by a stream, which comes before what it was written after.
      for (const next of [trailer.XRefStm, trailer.Prev]) if (next !== undefined) waiting.push(next);
    }
    if (this.trailer.Encrypt !== undefined) refuse("locked_pdf");
    return this;
  }
  section(at) {
    const reader = new Objects(this.text, at);
    return reader.starts("xref") ? this.table(reader) : this.tableStream(at);
  }
  table(reader) {
    while (!reader.starts("trailer")) {
      const first = reader.value(), count = reader.value();
      for (let n = 0; n < count; n += 1) {
        const at = reader.value();
        reader.value();
        const isUsed = reader.starts("n");
        if (!isUsed && !reader.starts("f")) broken();
        this.note(first + n, isUsed ? {at} : null);
      }
    }
    return reader.value();
  }
  async tableStream(at) {
    const found = await this.objectAt(at);
    if (found.dict?.Type !== "/XRef") broken();
    const {W: widths, Size: size, Index: index = [0, size]} = found.dict;
    const data = await this.content(found);
    if (!widths.every(width => Number.isInteger(width) && width >= 0 && width <= 8)) broken();
    const step = widths[0] + widths[1] + widths[2];
    if (!step) broken();  // rows without end
    let from = 0;
    for (let part = 0; part < index.length; part += 2) {
      for (let n = 0; n < index[part + 1]; n += 1, from += step) {
        const row = data.subarray(from, from + step);
        if (row.length < step) broken();
        this.note(index[part] + n, place(row, widths));
      }
    }
    return found.dict;
  }
  // What was written last counts.
  note(number, where) { if (!this.places.has(number)) this.places.set(number, where); }

  async objectAt(at, number) {
    const reader = new Objects(this.text, at), head = (reader.take(GAP), reader.take(HEAD)) ?? broken();
    if (number !== undefined && Number(head[1]) !== number) broken();
    const value = reader.value();
    if (!reader.starts("stream")) return value;
    const start = reader.at + (this.text.startsWith("\r\n", reader.at) ? 2 : 1);
    const length = await this.get(value.Length);
    if (!Number.isInteger(length) || start + length > this.bytes.length) broken();
    if (!/^\s*endstream/.test(this.text.slice(start + length, start + length + 20))) broken();
    return {dict: value, bytes: this.bytes.subarray(start, start + length)};
  }
  async content({dict, bytes}) {
    const ways = [await this.get(dict.Filter) ?? []].flat();
    const hints = [await this.get(dict.DecodeParms) ?? []].flat();
    if (ways.length > 1 || (ways.length && ways[0] !== "/FlateDecode")) broken();
    const plain = ways.length ? await inflate(bytes) : bytes;
    return hints[0]?.Predictor >= 10 ? unfiltered(plain, hints[0].Columns ?? 1) : plain;
  }
  // A value, or what it refers to.
  async get(value, depth = 0) {
    if (value === null || typeof value !== "object" || !("ref" in value)) return value;
    const where = this.places.get(value.ref);
    if (depth > DEEPEST || !where) return null;
    if (where.at !== undefined) return this.get(await this.objectAt(where.at, value.ref), depth + 1);
    return (await this.packed(where.within, depth + 1)).get(value.ref) ?? null;
  }
  // The objects that lie together in one stream.
  async packed(number, depth) {
    this.opened ??= new Map();
    if (!this.opened.has(number)) {
      const stream = await this.get({ref: number}, depth);
      if (stream?.dict?.Type !== "/ObjStm") broken();
      const text = letters(await this.content(stream)), heads = new Objects(text), held = new Map();
      const places = Array.from({length: stream.dict.N}, () => [heads.value(), heads.value()]);
      for (const [name, from] of places) held.set(name, new Objects(text, stream.dict.First + from).value());
      this.opened.set(number, held);
    }
    return this.opened.get(number);
  }

  // Every file inside, by the document's own list of names.
  async files() {
    const root = await this.get(this.trailer.Root), names = await this.get(root?.Names);
    const found = [];
    for (const each of await this.named(await this.get(names?.EmbeddedFiles), 0)) {
      const file = await this.get(each), held = await this.get(file?.EF), stream = await this.get(held?.UF ?? held?.F);
      found.push(await this.content(stream ?? broken()));
    }
    return found;
  }
  // What the paper says of itself to programs (provenance/press/pdf/noted.py).
  async noted() {
    const info = await this.get(this.trailer.Info), told = await this.get(info?.printed);
    return asText(told?.text ?? "");
  }
  async named(node, depth) {
    if (!isDict(node)) return [];
    this.nodes = (this.nodes ?? 0) + 1;
    if (depth > DEEPEST || this.nodes > MOST_NODES) broken();  // one that names itself
    const own = (await this.get(node.Names) ?? []).filter((_, place) => place % 2);
    for (const kid of await this.get(node.Kids) ?? []) own.push(...await this.named(await this.get(kid), depth + 1));
    return own;
  }
}

// One row of a cross-reference stream: where an object lies, or in which stream.
function place(row, [first, second]) {
  const kind = first ? whole(row.subarray(0, first)) : 1, told = whole(row.subarray(first, first + second));
  if (kind === 1) return {at: told};
  return kind === 2 ? {within: told} : null;
}

checking.isPdf = bytes => letters(bytes.subarray(0, 5)) === "%PDF-";
// The bytes of every file that a PDF carries, and what it notes of itself.
checking.inside = async bytes => {
  steps = 0;
  try {
    const pdf = await new Pdf(bytes).open();
    return {files: await pdf.files(), note: await pdf.noted()};
  } catch (fault) {
    // Whatever else a broken file leads to (a number where a name should be) is that: broken.
    throw fault instanceof checking.Refused ? fault : new checking.Refused("broken_pdf");
  }
};
})();
