/* What every script of the desk needs: its words, its way to the server, what is read aloud. */
const given = JSON.parse(document.getElementById("for-scripts").textContent)
const token = document.querySelector("meta[name=desk-token]")?.content ?? ""
export const onlyLook = given.only_look

/* A phrase of [desk_face], filled in; `NAME_none` and `NAME_one` where a number asks for them. */
export function say(name, values = {}) {
  const ending = {0: "none", 1: "one"}[values.number]
  const text = given.phrases[`${name}_${ending}`] ?? given.phrases[name] ?? name
  return text.replace(/\{(\w+)\}/g, (_, each) => values[each] ?? "")
}

export async function get(address) {
  const answer = await fetch(address, {credentials: "same-origin"})
  if (!answer.ok) throw new Error(say("not_heard"))
  return answer.json()
}

/* `{status, sent}`; what was refused is told in words, and so is a desk that no longer runs. */
export async function post(address, body) {
  try {
    const answer = await fetch(address, {
      method: "POST", credentials: "same-origin",
      headers: {"Content-Type": "application/json", "X-Desk": token}, body: JSON.stringify(body),
    })
    const sent = await answer.json().catch(() => ({what: say("not_heard")}))
    return {status: answer.status, sent}
  } catch { return {status: 0, sent: {what: say("not_heard")}} }
}

export function stream(address, body) {
  return fetch(address, {
    method: "POST", credentials: "same-origin",
    headers: {"Content-Type": "application/json", "X-Desk": token}, body: JSON.stringify(body),
  })
}

let next = 0
export function announce(words) {
  clearTimeout(next)
  const place = document.getElementById("heard")
  place.textContent = ""
  next = setTimeout(() => { place.textContent = words }, 60)
}

export function element(tag, given = {}, ...inside) {
  const made = document.createElement(tag)
  for (const [name, value] of Object.entries(given))
    if (name in made && name !== "list") made[name] = value  // an input's list can be read alone
    else made.setAttribute(name, value)
  made.append(...inside)
  return made
}

let count = 0
export function field(words, more = {}) {
  const id = `field-${++count}`
  const box = element("input", {id, type: "text", autocomplete: "off", ...more})
  return {box, row: element("p", {className: "field"}, element("label", {htmlFor: id}, words), box)}
}

export const refused = ({what, remedy, words}) => [what ?? words ?? say("not_heard"), remedy].filter(Boolean).join(" ")
