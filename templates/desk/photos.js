/* Photos dropped or chosen: sent one after another, seen upright here, and each asked what it shows. */
import {announce, element, field, post, refused, say} from "./words.js"

const VIEWS = ["", "whole", "detail", "room"]

async function data(file) {
  const bytes = new Uint8Array(await file.arrayBuffer())
  let text = ""
  for (let at = 0; at < bytes.length; at += 32768) text += String.fromCharCode(...bytes.subarray(at, at + 32768))
  return btoa(text)
}

/* Drawn here, since the desk's policy shows no picture that isn't the desk's; what the browser can't read is not shown. */
async function preview(file) {
  try {
    const seen = await createImageBitmap(file, {imageOrientation: "from-image"})
    const scale = Math.min(1, 320 / Math.max(seen.width, seen.height))
    const drawn = element("canvas", {width: Math.round(seen.width * scale), height: Math.round(seen.height * scale), role: "img", "aria-label": file.name})
    drawn.getContext("2d").drawImage(seen, 0, 0, drawn.width, drawn.height)
    return drawn
  } catch { return element("span", {className: "no-picture"}, file.name) }
}

function asked(row, sent, number, then) {
  const words = field(say("what_it_shows"), {value: sent.alt ?? "", required: true})
  const id = `${words.box.id}-view`
  const view = element("select", {id}, ...VIEWS.map(each => element("option", {value: each}, say(`view_${each || "none"}`))))
  const form = element("form", {}, words.row, element("p", {className: "field"}, element("label", {htmlFor: id}, say("view")), view),
    element("p", {className: "buttons"}, element("button", {type: "submit", className: "main"}, say("write_alt"))))
  form.onsubmit = async event => {
    event.preventDefault()
    const {status, sent: done} = await post("/alt", {path: sent.path, number, words: words.box.value.trim(), view: view.value})
    const told = status === 200 ? say("alt_written") : refused(done)
    form.querySelector(".refused, .done")?.remove()
    announce(told)
    if (status !== 200) return form.append(element("p", {className: "refused"}, told))
    const line = element("p", {className: "done"}, `${sent.path}: ${told} `, element("button", {type: "button", onclick: () => row.remove()}, say("close")))
    row.classList.add("folded")
    row.replaceChildren(line)
    then()
  }
  row.append(form)
  return words.box
}

async function take(file, list, number, then) {
  const state = element("p", {}, say("photo_coming", {name: file.name}))
  const row = element("li", {}, await preview(file), state)
  list.append(row)
  const {status, sent} = await post("/photos", {number, name: file.name, data: await data(file)})
  const told = status === 200 ? say(sent.is_double ? "photo_double" : "photo_kept", {path: sent.path}) : refused(sent)
  state.textContent = told
  state.className = status === 200 ? "" : "refused"
  announce(told)
  return status === 200 ? asked(row, sent, number, then) : null
}

export function photos(zone, then) {
  const list = zone.querySelector("ul"), number = zone.dataset.number
  async function all(files) {
    let first = null
    for (const file of files) { const box = await take(file, list, number, then); first ??= box }
    first?.focus()
  }
  const chooser = zone.querySelector("input[type=file]")
  chooser.addEventListener("change", () => { all([...chooser.files]).then(() => { chooser.value = "" }) })
  const over = is => zone.classList.toggle("over", is)
  const whole = document.getElementById("content")
  const hasFiles = event => [...event.dataTransfer.types].includes("Files")
  whole.addEventListener("dragover", event => { if (hasFiles(event)) { event.preventDefault(); over(true) } }, true)
  whole.addEventListener("dragleave", event => { if (!whole.contains(event.relatedTarget)) over(false) }, true)
  whole.addEventListener("drop", event => {
    if (!hasFiles(event)) return
    event.preventDefault(); event.stopPropagation(); over(false); all([...event.dataTransfer.files])
  }, true)
}
