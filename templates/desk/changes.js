/* Deeds: what would change in the records is shown where it was asked for, line by line; then it is
   done, or left. */
import {announce, element, field, post, refused, say} from "./words.js"

const shut = (panel, button) => {
  panel.hidden = true
  panel.replaceChildren()
  button?.setAttribute("aria-expanded", "false")
  button?.focus()
}

export function open(panel, button, ...inside) {
  lay(panel, button, ...inside)
  ;(panel.querySelector("input, select") ?? panel.querySelector("button"))?.focus()
}

/* As `open`, but whoever types goes on typing. */
export function lay(panel, button, ...inside) {
  for (const each of document.querySelectorAll("[aria-expanded=true]")) each.setAttribute("aria-expanded", "false")
  button?.setAttribute("aria-expanded", "true")
  panel.replaceChildren(...inside)
  panel.hidden = false
  panel.onkeydown = event => { if (event.key === "Escape") shut(panel, button) }
}

export function wrong(panel, sent) {
  const words = refused(sent)
  panel.querySelector(".refused")?.remove()
  panel.prepend(element("p", {className: "refused", role: "alert"}, words))
}

const lines = (tag, texts) => texts.map(text => element(tag, {}, text || " "))

export function changed({told = [], changes = []}) {
  return [
    ...told.map(text => element("p", {}, text)),
    ...changes.map(each => element("div", {className: "change"},
      element("p", {className: "place"}, each.href ? element("a", {href: each.href}, each.place) : each.place),
      element("pre", {tabIndex: 0}, ...lines("del", each.gone), ...lines("ins", each.new)))),
  ]
}

const closing = (panel, button) => element("button", {type: "button", onclick: () => shut(panel, button)}, say("close"))

/* What is typed and not saved yet no deed can know of: it is saved first. */
function isKept(panel, button) {
  const save = document.getElementById("save")
  if (!save || !document.body.classList.contains("unsaved")) return true
  const first = element("button", {type: "button", className: "main", onclick: () => { shut(panel, button); save.click() }}, say("save"))
  open(panel, button, element("p", {}, say("save_first")), element("p", {className: "buttons"}, first, closing(panel, button)))
  announce(say("save_first"))
  return false
}

/* Asks what a deed would change; `then` is called once it is done. */
export async function propose(panel, button, address, body, then) {
  if (!isKept(panel, button)) return
  const {status, sent} = await post(address, body)
  if (status !== 200) {
    if (panel.hidden || !panel.querySelector("button")) open(panel, button, element("p", {className: "buttons"}, closing(panel, button)))
    return wrong(panel, sent)
  }
  const leave = element("button", {type: "button", onclick: () => shut(panel, button)}, say(sent.mark ? "leave" : "close"))
  const act = element("button", {type: "button", className: "main"}, say("do"))
  act.onclick = async () => {
    act.disabled = true
    const {status, sent: done} = await post("/deed/do", {mark: sent.mark})
    if (status !== 200) {  // what was shown is forgotten with its mark: it is shown anew
      const again = element("button", {type: "button", className: "main", onclick: () => propose(panel, button, address, body, then)}, say("show_again"))
      act.replaceWith(again)
      again.focus()
      return wrong(panel, done)
    }
    announce(done.told.join(" "))
    const end = closing(panel, button)
    open(panel, button, ...done.told.map(text => element("p", {}, text)), element("p", {className: "buttons"}, end))
    then?.(done)
  }
  open(panel, button, ...changed(sent), element("p", {className: "buttons"}, ...(sent.mark ? [act] : []), leave))
  announce(say("changes_shown", {number: sent.changes.length}))
  ;(sent.mark ? act : leave).focus()
}

const asks = {
  sell: () => [field(say("price"), {required: true, inputMode: "decimal"}), field(say("outlet"), {list: "outlets"}), field(say("day"), {type: "date"}), field(say("to_whom")), field(say("how_many"), {inputMode: "numeric"})],
  move: () => [field(say("outlet"), {required: true, list: "outlets"})],
  reprice: () => [field(say("new_price"), {required: true})],
  count: () => [field(say("amount"), {required: true})],
}

/* A form for one deed: `of` is the piece's number or the lot's name. */
export function form(panel, button, deed, of, then) {
  const fields = asks[deed]()
  const ask = element("form", {},
    ...fields.map(each => each.row),
    element("p", {className: "buttons"},
      element("button", {type: "submit", className: "main"}, say("show_change")),
      element("button", {type: "button", onclick: () => shut(panel, button)}, say("leave"))))
  ask.onsubmit = event => {
    event.preventDefault()
    const [first, outlet, day, whom, items] = fields.map(each => each.box.value.trim())
    const words = [deed, of, first]
    if (outlet) words.push("--at", outlet)
    if (day) words.push("--on", day)
    if (whom) words.push("--to", whom)
    if (items) words.push("--items", items)
    propose(panel, button, "/deed", {words}, then)
  }
  open(panel, button, ask)
}

/* A deed that lacks its last word. */
export function fill(panel, button, words, then) {
  const last = {sell: "price", reprice: "new_price", move: "outlet"}[words[0]] ?? "amount"
  const missing = field(say(last), last === "outlet" ? {required: true, list: "outlets"} : {required: true})
  const ask = element("form", {}, missing.row, element("p", {className: "buttons"}, element("button", {type: "submit", className: "main"}, say("show_change")),
    element("button", {type: "button", onclick: () => shut(panel, button)}, say("leave"))))
  ask.onsubmit = event => {
    event.preventDefault()
    propose(panel, button, "/deed", {words: [...words.slice(0, -1), missing.box.value.trim()]}, then)
  }
  open(panel, button, ask)
}

/* A form for something new; the desk goes to it. */
export function begin(panel, button, what, like) {
  const named = field(say("title_of"), {required: what !== "bath"})
  const old = what === "piece" ? field(say("like_which"), {value: like ?? ""}) : null
  const ask = element("form", {}, named.row, ...(old ? [old.row] : []),
    element("p", {className: "buttons"},
      element("button", {type: "submit", className: "main"}, say("begin")),
      element("button", {type: "button", onclick: () => shut(panel, button)}, say("leave"))))
  ask.onsubmit = async event => {
    event.preventDefault()
    const {status, sent} = await post("/begin", {what, like: old?.box.value.trim() ?? "", title: named.box.value.trim()})
    if (status !== 200) return wrong(panel, sent)
    location.assign(sent.href ?? `/at/${sent.path}`)
  }
  open(panel, button, ask)
}

/* Wires what a page has of buttons for deeds; `then` is called after each that was done. */
export function wire(then) {
  const panel = document.getElementById("deed")
  const toggled = (button, act, at = panel) => button.addEventListener("click", () =>
    button.getAttribute("aria-expanded") === "true" ? shut(at, button) : act())
  for (const button of document.querySelectorAll("[data-deed]"))
    toggled(button, () => isKept(panel, button) && form(panel, button, button.dataset.deed, button.parentElement.dataset.number, then))
  for (const button of document.querySelectorAll("[data-begin]"))
    toggled(button, () => begin(panel, button, button.dataset.begin, button.dataset.like))
  for (const button of document.querySelectorAll("[data-undo]"))
    toggled(button, () => propose(panel, button, "/undo", {}, then))
}
