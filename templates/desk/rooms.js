/* The lists: deeds in their rows, something new, building and publishing. */
import {announce, element, say, stream} from "./words.js"
import {fill, form, open, propose, wire, wrong} from "./changes.js"

const anew = () => setTimeout(() => location.reload(), 900)
wire(anew)
for (const button of document.querySelectorAll("[data-count]")) {
  const panel = button.closest("li").querySelector(".panel")
  button.addEventListener("click", () => form(panel, button, "count", button.dataset.count, anew))
}
for (const button of document.querySelectorAll("[data-words]")) {
  const panel = button.closest("li").querySelector(".panel")
  const words = JSON.parse(button.dataset.words)
  button.addEventListener("click", () => words.at(-1) === "" ? fill(panel, button, words, anew) : propose(panel, button, "/deed", {words}, anew))
}

async function run(button, panel, body) {
  const lines = element("pre", {className: "lines", tabIndex: 0}), end = element("p", {className: "buttons"})
  let reader = null, isStopped = false
  const halt = element("button", {type: "button", onclick: () => { isStopped = true; reader?.cancel() }}, say("stop"))
  end.append(halt)
  panel.dataset.running = body.what
  open(panel, button, element("p", {}, say("running")), lines, end)
  let answer
  try { answer = await stream("/run", body) } catch { over(); return wrong(panel, {what: say("not_heard")}) }
  if (!answer.ok) { over(); return wrong(panel, await answer.json().catch(() => ({}))) }
  reader = answer.body.pipeThrough(new TextDecoderStream()).getReader()
  for (let rest = "", got; !(got = await reader.read()).done;) {
    const parts = (rest + got.value).split("\n")
    rest = parts.pop()
    for (const part of parts.filter(Boolean)) told(JSON.parse(part))
  }
  if (halt.isConnected) { over(); panel.firstElementChild.textContent = say(isStopped ? "stopped" : "not_heard") }
  function over() {
    halt.remove()
    delete panel.dataset.running
    end.append(element("button", {type: "button", onclick: hide}, say("close")))
  }
  function hide() { panel.hidden = true; button.setAttribute("aria-expanded", "false"); button.focus() }
  function told(each) {
    if ("line" in each) lines.append(element("span", {className: each.is_wrong ? "wrong" : ""}, `${each.line}\n`))
    if (!("done" in each)) return
    panel.firstElementChild.textContent = each.asks || each.words
    announce(each.asks || each.words)
    const more = {...body, mark: each.mark ?? ""}
    const go = words => element("button", {type: "button", className: "main", onclick: () => run(button, panel, {...more, only_tell: false, yes: true})}, words)
    if (each.asks || (body.only_tell && each.done === 0 && each.mark)) end.append(go(say(body.what === "publish" ? "publish_do" : "do")))
    over()
  }
}
for (const button of document.querySelectorAll("[data-run]")) {
  const panel = document.getElementById("deed"), what = button.dataset.run
  button.addEventListener("click", () => {
    if (panel.dataset.running !== what) return panel.dataset.running ? undefined : run(button, panel, {what, only_tell: what === "publish", yes: false, mark: ""})
    panel.hidden = !panel.hidden
    button.setAttribute("aria-expanded", String(!panel.hidden))
  })
}
