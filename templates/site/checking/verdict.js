// What is to be said of a file: genuine, changed, unknown key, or not one of ours, and why.
// Integrity is not identity: the keys are those that the studio published with this page, never one
// that a file brings along; and a document is read only as the words it may be made of say.
(() => {
"use strict";
const checking = window.checking;
const refuse = why => { throw new checking.Refused(why); };
const isObject = value => value !== null && typeof value === "object" && !Array.isArray(value);
const same = (one, other) => checking.canonical(one) === checking.canonical(other);

// The statement in a file: the file itself, or what a certificate carries.
async function statementIn(bytes) {
  if (!checking.isPdf(bytes)) return readStatement(bytes);
  const files = await checking.filesIn(bytes);
  if (files.length !== 1) refuse(files.length ? "two_inside" : "none_inside");
  return readStatement(files[0]);
}
function readStatement(bytes) {
  const statement = checking.parse(checking.asText(bytes));
  if (!isObject(statement) || !isObject(statement.proof)) refuse("no_statement");
  if (!isObject(statement.credentialSubject)) refuse("no_statement");
  return statement;
}

// The key that a proof names, if the studio published it.
const knownKey = (statement, trusted) =>
  trusted.keys.find(key => statement.proof.verificationMethod === `${trusted.did}#${key.key}`);
const isAsAgreed = ({proof}) => proof.type === "DataIntegrityProof" && proof.cryptosuite === "eddsa-jcs-2022" &&
  proof.proofPurpose === "assertionMethod";

// {verdict, why, statement, key}; `why` is "" where the verdict says it all.
async function judged(statement, trusted) {
  const said = (verdict, why = "", key = null) => ({verdict, why, statement, key});
  const key = knownKey(statement, trusted);
  if (!key) return said(statement.issuer?.id === trusted.did ? "unknown" : "foreign", "");
  if (!await checking.isSignedBy(statement, key.key)) return said("changed", "", key);
  if (!isAsAgreed(statement) || statement.issuer?.id !== trusted.did) return said("foreign", "no_statement", key);
  const contexts = [statement["@context"], statement.proof["@context"]];
  if (!contexts.every(each => same(each ?? null, trusted.context))) return said("changed", "context", key);
  return said("genuine", "", key);
}

checking.judge = async (bytes, trusted) => {
  try {
    return await judged(await statementIn(bytes), trusted);
  } catch (fault) {
    if (!(fault instanceof checking.Refused)) throw fault;
    return {verdict: "foreign", why: fault.message, statement: null, key: null};
  }
};

// Every word of a statement by its place: credentialSubject.name → Saltmarsh.
function leaves(value, place = "", found = new Map()) {
  if (value === null || typeof value !== "object") return found.set(place, JSON.stringify(value));
  for (const [name, inner] of Object.entries(value)) leaves(inner, place ? `${place}.${name}` : name, found);
  return found;
}
// What differs between a statement and the genuine one: [place, here, there].
checking.differences = (here, there) => {
  const ours = leaves(here), theirs = leaves(there);
  const places = [...new Set([...theirs.keys(), ...ours.keys()])].filter(place => !place.startsWith("proof."));
  return places.filter(place => ours.get(place) !== theirs.get(place))
    .map(place => [place, ours.get(place) ?? "", theirs.get(place) ?? ""]);
};
})();
