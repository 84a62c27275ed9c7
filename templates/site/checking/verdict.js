// What is to be said of a file: genuine, changed, of an unknown key, unsigned, or none of ours, and
// why. The command `verify` asks the same questions in the same order (provenance/seal/checking.py).
// Integrity is not identity: the keys are those that the studio published, which came with this page,
// never one because a statement names it; and the terms must be just ours.
(() => {
"use strict";
const checking = window.checking;
const TYPES = ["VerifiableCredential", "TextileStatement"], SUITE = "eddsa-jcs-2022";
const CREDENTIALS = "https://www.w3.org/ns/credentials/v2", TERMS = "ns/statement-v1.jsonld";
const refuse = (why, values) => { throw new checking.Refused(why, values); };
const isObject = value => value !== null && typeof value === "object" && !Array.isArray(value);
const same = (one, other) => {
  try {
    return checking.canonical(one ?? null) === checking.canonical(other ?? null);
  } catch { return false; }  // no way to write one of them
};

// A statement holds texts, lists and objects alone: no number that two readers could round apart.
checking.document = bytes => {
  const found = checking.parse(checking.asText(bytes));
  for (const [where, value] of leaves(found)) if (typeof value !== "string") refuse("no_text", {where});
  return isObject(found) ? found : refuse("no_json");
};
// Every text by its place, such as credentialSubject.care[0]; what is empty by itself.
function leaves(value, place = "", found = new Map()) {
  const inner = value !== null && typeof value === "object" ? Object.entries(value) : [];
  if (!inner.length) return found.set(place, typeof value === "object" && value ? Array.isArray(value) ? "[]" : "{}" : value);
  for (const [name, each] of inner) {
    const next = Array.isArray(value) ? `${place}[${name}]` : place ? `${place}.${name}` : name;
    leaves(each, next, found);
  }
  return found;
}
checking.leaves = leaves;
// The places at which two statements say something else: [place, here, there].
checking.differences = (here, there) => {
  const one = leaves(here), other = leaves(there);
  return [...new Set([...one.keys(), ...other.keys()])].filter(place => one.get(place) !== other.get(place))
    .map(place => [place, one.get(place) ?? "", other.get(place) ?? ""]);
};

// did:web:a.example:b is the name of https://a.example/b
checking.addressOf = did => {
  const [host, ...path] = did.replace(/^did:web:/, "").split(":");
  return did.startsWith("did:web:") && host ? ["https://" + host.replaceAll("%3A", ":"), ...path].join("/") : "";
};
const methodOf = ({proof}) => isObject(proof) && typeof proof.verificationMethod === "string" ? proof.verificationMethod : "";
const cut = text => text.includes("#") ? [text.slice(0, text.indexOf("#")), text.slice(text.indexOf("#") + 1)] : [text, ""];

// What no statement of ours is like, before any signature is looked at; "" where its form is right.
function wrongForm(statement) {
  const {proof, issuer, "@context": context} = statement, [did, key] = cut(methodOf(statement));
  if (!isObject(proof) || !isObject(issuer) || issuer.id !== did) return "other_issuer";
  const site = checking.addressOf(did);
  if (!site || !same(context, [CREDENTIALS, `${site}/${TERMS}`])) return "other_context";
  const {proofValue, ...said} = proof, {created} = proof;
  const wanted = {type: "DataIntegrityProof", cryptosuite: SUITE, verificationMethod: `${did}#${key}`, proofPurpose: "assertionMethod", "@context": context};
  if (typeof created === "string" && created) wanted.created = created;
  if (!same(said, wanted)) return "other_proof";
  return checking.publicKey(key) ? "" : "other_key";
}

// {verdict, why, values, statement, key} of a statement that was read strictly.
checking.verdict = async (statement, keys) => {
  const said = (verdict, why = "", values = {}, key = null) => ({verdict, why, values, statement, key});
  if (!same(statement.type, TYPES)) return said("not ours", "other_kind");
  if (!("proof" in statement)) return said("unsigned", "no_proof");
  const wrong = wrongForm(statement);
  if (wrong) return said("changed", wrong);
  const [did, named] = cut(methodOf(statement)), key = keys.find(each => each.key === named && each.did === did);
  if (!key) return said("unknown key", "unknown_key");
  if (key.withdrawn) return said("unknown key", "withdrawn_key", {day: key.withdrawn});
  if (!await checking.isSignedBy(statement, named)) return said("changed", "broken", {}, key);
  const signedOn = (statement.proof.created ?? "").slice(0, 10);
  if (key.until && !signedOn) return said("unknown key", "undated", {day: key.until});
  if (key.until && signedOn > key.until) return said("unknown key", "after_its_time", {day: key.until});
  return said("genuine", "", {}, key);
};

// A statement of another piece, or of another issue, was put into a paper. A paper notes what it is
// in one line of YAML: - {paper: "certificate", number: "2026-014", issue: "1"}
function isOfPaper({credentialSubject: subject, issue}, note) {
  const told = Object.fromEntries([...note.matchAll(/(\w+): (?:"((?:[^"\\]|\\[^])*)"|[^,}]*)/g)].map(([, word, value]) => [word, value]));
  const isOneLine = note.trim().split("\n").length === 1 && note.startsWith("- {");
  return isOneLine && told.number === subject?.identifier && told.issue === issue?.issueNumber;
}
// The verdict on a file: a statement, or a certificate that carries one.
async function ofFile(bytes, keys) {
  if (!checking.isPdf(bytes)) return checking.verdict(checking.document(bytes), keys);
  const {files, note} = await checking.inside(bytes);
  if (files.length !== 1) refuse(files.length ? "two_inside" : "none_inside");
  const found = await checking.verdict(checking.document(files[0]), keys);
  if (found.verdict !== "genuine" || isOfPaper(found.statement, note)) return found;
  return {...found, verdict: "changed", why: "other_paper"};
}
checking.judge = async (bytes, keys) => {
  try {
    return await ofFile(bytes, keys);
  } catch (fault) {
    if (!(fault instanceof checking.Refused)) throw fault;
    return {verdict: "not ours", why: fault.message, values: fault.values, statement: null, key: null};
  }
};
})();
