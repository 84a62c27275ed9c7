// The proof of a statement: the Data Integrity suite eddsa-jcs-2022 (W3C Recommendation "Data
// Integrity EdDSA Cryptosuites v1.0", 3.3) on canonical JSON (RFC 8785), keys as Multikey (W3C
// "Controlled Identifiers v1.0", 2.2.2), the signature by the browser's own Ed25519.
(() => {
"use strict";
const checking = window.checking;
const LETTERS = "123456789ABCDEFGHJKLMNPQRSTUVWXYZabcdefghijkmnopqrstuvwxyz";
const refuse = why => { throw new checking.Refused(why); };

// Numbers and letters as JSON.stringify writes them: RFC 8785 took its rules from ECMAScript.
const scalar = value => {
  if (typeof value === "number" && !Number.isFinite(value)) refuse("no_json");
  if (/\p{Cs}/u.test(value)) refuse("no_json");  // half a letter, which is no Unicode
  return JSON.stringify(value);
};
// sort() compares UTF-16 code units, which is what RFC 8785 asks for.
const canonical = checking.canonical = value => {
  if (value === null || typeof value !== "object") return scalar(value);
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  const members = Object.keys(value).sort().map(name => `${scalar(name)}:${canonical(value[name])}`);
  return `{${members.join(",")}}`;
};

// base58btc behind its multibase letter "z"; null for anything else.
checking.fromBase58 = text => {
  if (typeof text !== "string" || text[0] !== "z" || text.length > 128) return null;
  let number = 0n, ones = 0;
  for (const letter of text.slice(1)) {
    const digit = LETTERS.indexOf(letter);
    if (digit < 0) return null;
    number = number * 58n + BigInt(digit);
    if (number === 0n) ones += 1;
  }
  const bytes = [];
  for (; number > 0n; number >>= 8n) bytes.unshift(Number(number & 255n));
  return new Uint8Array([...new Array(ones).fill(0), ...bytes]);
};
// The 32 bytes of a public Ed25519 key written as a Multikey.
checking.publicKey = multikey => {
  const bytes = checking.fromBase58(multikey);
  const isEd25519 = bytes?.length === 34 && bytes[0] === 0xed && bytes[1] === 0x01;
  return isEd25519 ? bytes.slice(2) : null;
};

// Whether this browser can check a signature here: not on plain http, not in an old browser.
checking.isAble = async () => {
  try {
    return Boolean(await crypto.subtle.importKey("raw", new Uint8Array(32).fill(1), "Ed25519", false, ["verify"]));
  } catch { return false; }
};
checking.holds = async (key, signature, message) => {
  try {
    const known = await crypto.subtle.importKey("raw", key, "Ed25519", false, ["verify"]);
    return await crypto.subtle.verify("Ed25519", known, signature, message);
  } catch { return false; }
};

const without = (value, name) => {
  const rest = Object.assign(Object.create(null), value);
  delete rest[name];
  return rest;
};
const digest = async text => new Uint8Array(await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text)));

// The digest of a picture as statements write it: multibase "u", multihash SHA-256.
checking.digestOf = async bytes => {
  const hashed = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  const letters = btoa(String.fromCharCode(0x12, 0x20, ...hashed));
  return `u${letters.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "")}`;
};

// What is signed: the digest of the proof's own words, then that of the document.
checking.signedBytes = async statement => {
  const proof = canonical(without(statement.proof, "proofValue"));
  const [first, second] = await Promise.all([digest(proof), digest(canonical(without(statement, "proof")))]);
  return new Uint8Array([...first, ...second]);
};
// Whether a key signed exactly this statement.
checking.isSignedBy = async (statement, multikey) => {
  const key = checking.publicKey(multikey), signature = checking.fromBase58(statement.proof.proofValue);
  if (!key || signature?.length !== 64) return false;
  try {
    return await checking.holds(key, signature, await checking.signedBytes(statement));
  } catch { return false; }  // words that can't be written in the one way were never signed
};
})();
