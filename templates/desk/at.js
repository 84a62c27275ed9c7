/* The desk of one record file: its text at the left, what becomes of it at the right. */
import {openEditor} from "./editor.js"
import {announce, element, get, onlyLook, post, refused, say} from "./words.js"
import {lay, wire} from "./changes.js"
import {photos} from "./photos.js"

const by = id => document.getElementById(id)
let read = JSON.parse(by("read").textContent)
let saved = read.text, isSaving = false, elsewhere = null
const path = read.path
const name = encodeURIComponent(path)

/* The text */
by("editor").replaceChildren()
const editor = openEditor({
  parent: by("editor"), text: read.text, label: say("text_of", {path}), describedBy: "how", readOnly: onlyLook, say,
  save: () => save(), changed: isRemote => { if (!isRemote) tell() },
  complete: async ({line, column, text, doc}) => {
    const inside = above(doc, line).join("/")
    try { return await get(`/words?${new URLSearchParams({at: path, line, column, line_text: text, inside})}`) } catch { return [] }
  },
  phrases: Object.fromEntries(["Find", "Replace", "next", "previous", "all", "match case", "regexp", "by word", "replace", "replace all", "close", "Go to line", "go", "Completions", "current match", "on line", "replaced match on line $", "replaced $ matches"]
    .map(each => [each, say(`search_${each.toLowerCase().replace(/ ?\$ ?/g, " ").trim().replaceAll(" ", "_")}`)])),
})

/* The keys that a line stands under, from the outermost. */
function above(doc, line) {
  const lines = doc.split("\n"), depth = text => text.search(/\S/)
  const keys = []
  let deep = Math.max(depth(lines[line - 1] ?? ""), 0)
  if (!(lines[line - 1] ?? "").trim()) deep = /^\s*/.exec(lines[line - 1] ?? "")[0].length
  for (let at = line - 2; at >= 0 && deep > 0; at--) {
    const found = depth(lines[at])
    if (found < 0 || found >= deep || lines[at].trim().startsWith("#")) continue
    const key = /^\s*(?:- )?([^:#]+):\s*(?:#.*)?$/.exec(lines[at])
    if (key) { keys.unshift(key[1].trim()); deep = found }
  }
  return keys
}

const isUnsaved = () => editor.text() !== saved
addEventListener("beforeunload", event => { if (!onlyLook && isUnsaved()) event.preventDefault() })

function tell() {
  const unsaved = isUnsaved(), line = by("seen-line")
  document.body.classList.toggle("unsaved", unsaved)
  if (by("save")) by("save").disabled = !unsaved || isSaving
  const seen = read.seen ? say("seen_at", {time: read.seen, seconds: Number(read.seconds).toLocaleString(document.documentElement.lang, {maximumFractionDigits: 1})}) : ""
  line.textContent = isSaving ? say("saving") : unsaved ? say("unsaved") : seen
  const mistakes = read.problems.filter(each => each.mistake).length
  const parts = [say(onlyLook ? "only_look" : "only_typed")]
  if (mistakes) parts.push(say("mistakes", {number: mistakes}))
  if (read.others) parts.push(say("others", {number: read.others}))
  by("told").textContent = parts.join(" ")
  const title = document.querySelector("title")
  title.textContent = (unsaved ? "● " : "") + title.textContent.replace(/^● /, "")
}

let heard = JSON.stringify(read.problems.map(each => each.words))
function hear() {
  const now = JSON.stringify(read.problems.map(each => each.words))
  if (now === heard) return
  heard = now
  const first = read.problems.find(each => each.mistake) ?? read.problems[0]
  announce(first ? say("heard", {number: read.problems.length, line: first.line, words: `${first.words}. ${first.remedy ?? ""}`}) : say("heard_none"))
}

function show(answer) {
  read = {...read, ...answer}
  if (!isUnsaved()) editor.problems(read.problems)
  if (answer.edge) draw(answer.edge)
  by("last-good").hidden = !(read.last_good)
  tell(); hear(); see()
}

async function save(over = null) {
  if (onlyLook || isSaving) return
  const text = editor.text()
  if (text === saved && !over) return
  isSaving = true; tell()
  const {status, sent} = await post("/save", {path, text, digest: over ?? read.digest})
  isSaving = false
  if (status === 409) { tell(); return conflict(sent) }
  if (status !== 200) {
    tell()
    by("told").textContent = refused(sent)
    return announce(refused(sent))
  }
  elsewhere = null
  by("conflict").hidden = true
  saved = sent.text
  if (sent.text !== text) {  // somebody else saved since: their digest is not for this text
    tell()
    return conflict({theirs: sent.text, digest: sent.digest})
  }
  show(sent)
}
by("save")?.addEventListener("click", () => save())
addEventListener("keydown", event => {
  if ((event.ctrlKey || event.metaKey) && event.key.toLowerCase() === "s" && !event.defaultPrevented) { event.preventDefault(); save() }
})

/* Both texts where they differ; whoever typed chooses. */
function conflict({theirs, digest}) {
  elsewhere = digest
  const mine = editor.text().split("\n"), other = theirs.split("\n")
  let start = 0, end = 0
  while (start < Math.min(mine.length, other.length) && mine[start] === other[start]) start++
  while (end < Math.min(mine.length, other.length) - start && mine.at(-1 - end) === other.at(-1 - end)) end++
  const part = (title, lines) => element("div", {}, element("h3", {}, title),
    element("pre", {tabIndex: 0}, lines.slice(start, lines.length - end).map((text, at) => `${start + at + 1}  ${text}`).join("\n") || say("no_lines")))
  const take = element("button", {type: "button"}, say("take_theirs")), keep = element("button", {type: "button"}, say("keep_mine"))
  take.onclick = () => { saved = theirs; read.digest = digest; elsewhere = null; by("conflict").hidden = true; editor.set(theirs); fetchAgain(); editor.focus() }
  keep.onclick = () => save(digest).then(() => editor.focus())
  const later = element("button", {type: "button", className: "main", onclick: () => { by("conflict").hidden = true; editor.focus() }}, say("look_later"))
  lay(by("conflict"), null, element("h2", {}, say("conflict_title")), element("p", {}, say("conflict")),
    element("div", {className: "both"}, part(say("mine"), mine), part(say("theirs"), other)), element("p", {className: "buttons"}, later, take, keep))
  announce(say("conflict"))
}

async function fetchAgain() {
  try {
    const answer = await get(`/read/${path.split("/").map(encodeURIComponent).join("/")}`)
    if (isUnsaved()) return conflict({theirs: answer.text, digest: answer.digest})
    saved = answer.text
    editor.set(answer.text)
    show(answer)
  } catch { by("seen-line").textContent = say("not_heard") }
}

function listen() {
  const stream = new EventSource(`/stream?at=${name}`)
  stream.addEventListener("seen", event => {
    const answer = JSON.parse(event.data)
    if (isSaving) return
    if (answer.digest === read.digest) return show(answer)
    if (elsewhere === answer.digest) return
    fetchAgain()
  })
  stream.addEventListener("gone", () => { by("seen-line").textContent = say("gone") })
  stream.addEventListener("error", () => { by("seen-line").textContent = say("not_heard") })
  stream.addEventListener("open", () => tell())
}

/* What becomes of it */
const tabs = [...document.querySelectorAll("[role=tab]")]
const chosen = () => tabs.find(each => each.getAttribute("aria-selected") === "true").id.slice(4)
const number = () => by("which").value || read.numbers[0]
if (read.numbers.length > 1) by("which").parentElement.hidden = false
by("which").addEventListener("change", () => see())

function choose(tab, isFocused) {
  for (const each of tabs) {
    each.setAttribute("aria-selected", String(each === tab))
    each.tabIndex = each === tab ? 0 : -1
    by(`panel-${each.id.slice(4)}`).hidden = each !== tab
  }
  if (isFocused) tab.focus()
  see()
}
const STEPS = {ArrowRight: 1, ArrowLeft: -1}
for (const tab of tabs) {
  tab.addEventListener("click", () => choose(tab))
  tab.addEventListener("keydown", event => {
    const at = tabs.indexOf(tab)
    const to = event.key === "Home" ? 0 : event.key === "End" ? tabs.length - 1 : event.key in STEPS ? (at + STEPS[event.key] + tabs.length) % tabs.length : -1
    if (to >= 0) { event.preventDefault(); choose(tabs[to], true) }
  })
}

let turn = 0
const anew = address => `${address}?seen=${read.count ?? ++turn}-${++turn}`
const SEEN = {
  page: panel => {
    const old = panel.querySelector("iframe"), last = old?.contentWindow?.scrollY ?? 0
    for (const each of panel.querySelectorAll("iframe.coming")) each.remove()
    const frame = element("iframe", {className: "coming", title: say("page_of", {number: number()}), sandbox: "allow-same-origin"})
    frame.addEventListener("load", () => {
      frame.contentWindow.scrollTo({top: last, behavior: "instant"})
      for (const each of panel.children) if (each !== frame) each.remove()
      frame.classList.remove("coming")
      panel.setAttribute("aria-busy", "false")
    })
    making(panel)
    frame.src = anew(`/see/page/${number()}/`)
    panel.append(frame)
  },
  tag: panel => pictures(panel, [[`/see/tag/${number()}.png`, say("tag_of", {number: number()})]]),
  certificate: panel => pictures(panel, [1, 2].map(side => [`/see/certificate/${number()}-${side}.png`, say("certificate_of", {number: number(), side})])),
  cost: panel => fragment(panel, `/see/cost/${number()}`),
  ribbons: panel => fragment(panel, `/see/ribbons/${number()}`),
  shelf: panel => fragment(panel, "/see/shelf"),
}

/* Before anything of it is there. */
function making(panel) {
  panel.setAttribute("aria-busy", "true")
  if (!panel.firstElementChild) panel.append(element("p", {className: "making small"}, say("making")))
}

async function pictures(panel, list) {
  const mine = panel.turn = ++turn
  making(panel)
  const made = await Promise.all(list.map(([address, alt]) => new Promise(done => {
    const picture = element("img", {alt, src: anew(address)})
    picture.onload = () => done(picture)
    picture.onerror = () => done(element("p", {className: "small"}, say("not_to_see")))
  })))
  if (panel.turn !== mine) return
  panel.setAttribute("aria-busy", "false")
  panel.replaceChildren(...made)
}

async function fragment(panel, address) {
  const mine = panel.turn = ++turn, top = panel.scrollTop
  const answer = await fetch(anew(address), {credentials: "same-origin"}).catch(() => null)
  if (panel.turn !== mine) return
  if (!answer?.ok) return panel.replaceChildren(element("p", {className: "small"}, say("not_to_see")))
  const made = new DOMParser().parseFromString(await answer.text(), "text/html")
  panel.replaceChildren(...made.body.childNodes)
  panel.scrollTop = top
}

function see() {
  const panel = by(`panel-${chosen()}`)
  if (read.numbers.length || chosen() === "shelf") SEEN[chosen()](panel)
}

function draw(edge) {
  for (const svg of document.querySelectorAll("svg.edge")) {
    const across = svg.classList.contains("across")
    svg.replaceChildren(...edge.map(each => {
      const stripe = document.createElementNS("http://www.w3.org/2000/svg", "rect")
      const sizes = across ? {x: each.start, y: 0, width: each.share, height: 100} : {x: 0, y: each.start, width: 100, height: each.share}
      for (const [name, value] of Object.entries({...sizes, fill: each.colour})) stripe.setAttribute(name, value)
      return stripe
    }))
  }
}

/* On a phone one side at a time. */
for (const button of document.querySelectorAll("[data-side]"))
  button.addEventListener("click", () => {
    for (const each of document.querySelectorAll("[data-side]")) each.setAttribute("aria-pressed", String(each === button))
    document.body.classList.toggle("sees", button.dataset.side === "seen")
  })

if (by("deed")) wire(() => fetchAgain())
if (by("photos")) photos(by("photos"), () => fetchAgain())
show(read)
listen()
const line = Number(new URLSearchParams(location.search).get("line"))
if (line) editor.go(line)
