// JSON read by its letters: a browser's own reader keeps the last of two equal names, so that two
// readers of one file could see two statements. Here a name that is written twice is refused.
(() => {
"use strict";
const checking = window.checking = {};
const MOST_BYTES = 2_000_000, DEEPEST = 200;
const SPACE = /[ \t\n\r]*/y, WORD = /true|false|null/y;
const NUMBER = /-?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?:[eE][+-]?[0-9]+)?/y;
const PLAIN = '[^"\\\\\\u0000-\\u001f]*', ESCAPE = '\\\\(?:["\\\\/bfnrt]|u[0-9a-fA-F]{4})';
const STRING = new RegExp(`"${PLAIN}(?:${ESCAPE}${PLAIN})*"`, "y");

// A refusal with its reason, one of the words that the page can say.
checking.Refused = class extends Error {
  constructor(why, values = {}) { super(why); this.values = values; }
};
const refuse = (why, values) => { throw new checking.Refused(why, values); };

class Reader {
  constructor(text) { this.text = text; this.at = 0; }

  take(pattern) {
    pattern.lastIndex = this.at;
    const found = pattern.exec(this.text);
    if (found) this.at = pattern.lastIndex;
    return found?.[0];
  }
  sign(letter) {
    this.take(SPACE);
    if (this.text[this.at] !== letter) return false;
    this.at += 1;
    return true;
  }
  string() {
    this.take(SPACE);
    return JSON.parse(this.take(STRING) ?? refuse("no_json"));
  }
  // What follows in between `first` and `last`, with commas.
  listed(last, each) {
    if (this.sign(last)) return;
    do each(); while (this.sign(","));
    if (!this.sign(last)) refuse("no_json");
  }
  object(depth) {
    const made = Object.create(null);  // so that no name means anything but itself
    this.listed("}", () => {
      const name = this.string();
      if (name in made) refuse("twice", {name: name.slice(0, 40)});
      if (!this.sign(":")) refuse("no_json");
      made[name] = this.value(depth);
    });
    return made;
  }
  array(depth) {
    const made = [];
    this.listed("]", () => made.push(this.value(depth)));
    return made;
  }
  // A whole number that a browser can't hold would be read as another one.
  number() {
    const letters = this.take(NUMBER) ?? refuse("no_json");
    const read = Number(letters), isWhole = !/[.eE]/.test(letters);
    if (!Number.isFinite(read) || (isWhole && !Number.isSafeInteger(read))) refuse("no_json");
    return read;
  }
  value(depth) {
    if (depth > DEEPEST) refuse("no_json");
    if (this.sign("{")) return this.object(depth + 1);
    if (this.sign("[")) return this.array(depth + 1);
    if (this.text[this.at] === '"') return this.string();
    const word = this.take(WORD);
    return word ? JSON.parse(word) : this.number();
  }
}

checking.parse = text => {
  const reader = new Reader(text), value = reader.value(0);
  reader.take(SPACE);
  return reader.at === text.length ? value : refuse("no_json");
};

// Bytes as text: UTF-8 without faults.
checking.asText = bytes => {
  if (bytes.length > MOST_BYTES) refuse("too_large");
  try {
    return new TextDecoder("utf-8", {fatal: true, ignoreBOM: true}).decode(bytes);
  } catch { return refuse("no_json"); }
};
})();
