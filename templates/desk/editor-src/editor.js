/* The editor of the desk: plain text, its problems at their lines, words completed.

   Why CodeMirror 6, bundled once, and no textarea of our own: a message that stands below its line
   as a block, an undo that knows what came from elsewhere, and marks that move with the text as it is
   typed can't be had in a textarea, and input methods, touch and screen readers are years of
   work in it. Against: 300 kB, and npm for whoever changes this file (never for who runs it).

   It knows nothing of pieces or yarns: `openEditor` is handed texts and functions. */
import {EditorState, RangeSet, StateEffect, StateField, Transaction} from "@codemirror/state"
import {
  EditorView, Decoration, GutterMarker, ViewPlugin, WidgetType, drawSelection, gutterLineClass, highlightActiveLine,
  highlightActiveLineGutter, keymap, lineNumbers,
} from "@codemirror/view"
import {defaultKeymap, history, historyKeymap, indentLess, indentMore} from "@codemirror/commands"
import {highlightSelectionMatches, search, searchKeymap} from "@codemirror/search"
import {acceptCompletion, autocompletion, completionKeymap, completionStatus, startCompletion} from "@codemirror/autocomplete"
import {indentUnit} from "@codemirror/language"
import {StyleModule} from "style-mod"

// The desk's policy lets no <style> in; a sheet that is adopted is none.
const adopted = new WeakSet()
StyleModule.mount = (root, modules) => {
  for (const each of [modules].flat()) {
    if (adopted.has(each)) continue
    adopted.add(each)
    const sheet = new CSSStyleSheet()
    sheet.replaceSync(each.getRules())
    root.adoptedStyleSheets = [...root.adoptedStyleSheets, sheet]
  }
}

const setProblems = StateEffect.define()

// The same problem told anew keeps its block, and so the button that was made for it the first time.
const isSame = (one, other) => JSON.stringify(one) === JSON.stringify(other)

class Message extends WidgetType {
  constructor(problem, tools) { super(); this.problem = problem; this.tools = tools }
  eq(other) { return isSame(this.problem, other.problem) }
  get estimatedHeight() { return 44 }
  ignoreEvent() { return true }
  toDOM(view) {
    const {problem, tools} = this
    const block = document.createElement("div")
    block.className = problem.mistake ? "cm-problem cm-mistake" : "cm-problem"
    block.append(Object.assign(document.createElement("span"), {className: "cm-what", textContent: problem.words}))
    if (problem.remedy) block.append(" ", Object.assign(document.createElement("span"), {className: "cm-remedy", textContent: problem.remedy}))
    if (problem.instead && problem.length && !tools.readOnly) {
      const put = Object.assign(document.createElement("button"), {type: "button", textContent: tools.say("editor_put", {word: problem.instead})})
      put.addEventListener("click", () => mend(view, problem))
      block.append(" ", put)
    }
    return block
  }
}

function mend(view, problem) {
  const found = view.state.field(problemField).marks
  const cursor = found.iter()
  for (; cursor.value; cursor.next()) {
    if (!isSame(cursor.value.spec.problem, problem)) continue
    view.dispatch({changes: {from: cursor.from, to: cursor.to, insert: problem.instead}, userEvent: "input.mend"})
    break
  }
  view.focus()
}

class Sign extends GutterMarker {
  constructor(mistake) { super(); this.elementClass = mistake ? "cm-at-mistake" : "cm-at-remark" }
  eq(other) { return this.elementClass === other.elementClass }
}

let tools = {}

function placed(state, problems) {
  const marks = [], blocks = [], signs = []
  for (const problem of problems) {
    const line = state.doc.line(Math.min(Math.max(problem.line || 1, 1), state.doc.lines))
    const from = Math.min(line.from + Math.max((problem.column || 1) - 1, 0), line.to)
    const to = Math.min(from + (problem.length || 0), line.to)
    if (to > from) marks.push(Decoration.mark({class: problem.mistake ? "cm-under cm-under-mistake" : "cm-under", problem}).range(from, to))
    blocks.push(Decoration.widget({widget: new Message(problem, tools), block: true, side: 1}).range(line.to))
    signs.push(new Sign(problem.mistake).range(line.from))
  }
  return {marks: Decoration.set(marks, true), blocks: Decoration.set(blocks, true), signs: RangeSet.of(signs, true)}
}

const problemField = StateField.define({
  create: () => ({marks: Decoration.none, blocks: Decoration.none, signs: RangeSet.empty}),
  update(value, change) {
    for (const effect of change.effects) if (effect.is(setProblems)) return placed(change.state, effect.value)
    if (!change.docChanged) return value
    return {marks: value.marks.map(change.changes), blocks: value.blocks.map(change.changes), signs: value.signs.map(change.changes)}
  },
  provide: field => [
    EditorView.decorations.from(field, value => value.marks),
    EditorView.decorations.from(field, value => value.blocks),
    gutterLineClass.from(field, value => value.signs),
  ],
})

// The quiet part of a record is its keys; a comment is quieter still.
const KEY = /(^[ \t]*(?:- )?|[{,] *)([\p{L}\p{N}_#][^:#{}[\],"']*?)(:)(?=\s|$)/gu
const keyMark = Decoration.mark({class: "cm-key"}), noteMark = Decoration.mark({class: "cm-note"})
function coloured(view) {
  const found = []
  for (const {from, to} of view.visibleRanges)
    for (let at = from; at <= to;) {
      const line = view.state.doc.lineAt(at)
      const note = line.text.search(/(^|\s)#(?!\p{L}*[0-9a-f]{2,5}["'])/u)
      const text = note < 0 ? line.text : line.text.slice(0, note)
      for (const hit of text.matchAll(KEY)) {
        const start = line.from + hit.index + hit[1].length
        found.push(keyMark.range(start, start + hit[2].length + 1))
      }
      if (note >= 0) found.push(noteMark.range(line.from + note, line.to))
      at = line.to + 1
    }
  return Decoration.set(found.filter(each => each.to > each.from), true)
}
const colours = ViewPlugin.fromClass(class {
  constructor(view) { this.decorations = coloured(view) }
  update(update) { if (update.docChanged || update.viewportChanged) this.decorations = coloured(update.view) }
}, {decorations: plugin => plugin.decorations})

// Tab leaves, unless who is typing stands in the space before a line's first sign; Escape, then Tab
// leaves from anywhere (the view keeps that itself).
let typed = false
const isIndenting = ({state}) => typed && state.selection.ranges.every(range => {
  const line = state.doc.lineAt(range.from)
  return !range.empty && state.doc.lineAt(range.to).number > line.number || !state.sliceDoc(line.from, range.from).trim()
})
const tabs = [
  {key: "Tab", run: view => completionStatus(view.state) === "active" ? acceptCompletion(view) : isIndenting(view) && indentMore(view),
    shift: view => isIndenting(view) && indentLess(view)},
  {key: "Mod-s", preventDefault: true, run: view => { tools.save(view.state.doc.toString()); return true }},
  {key: "Alt-ArrowDown", run: startCompletion},
]

function completions(complete) {
  return async context => {
    const line = context.state.doc.lineAt(context.pos), before = context.state.sliceDoc(line.from, context.pos)
    const stem = /[\p{L}\p{N}#.-][\p{L}\p{N} .-]*$/u.exec(before)?.[0] ?? ""
    if (!context.explicit && !/[:\s{,-]$/.test(before) && stem.length < 1) return null
    if (!context.explicit && /^\s*#|^\s*$/.test(before)) return null
    const words = await complete({line: line.number, column: context.pos - line.from + 1, text: line.text, doc: context.state.doc.toString()})
    if (context.aborted || !words.length) return null
    return {
      from: words[0].from ? line.from + words[0].from - 1 : context.pos - stem.length,
      options: words.map(each => ({label: each.word, detail: each.note, apply: each.insert || each.word})),
      validFor: /^[\p{L}\p{N} .-]*$/u,
    }
  }
}

const look = EditorView.theme({
  "&": {backgroundColor: "transparent", color: "var(--ink)", height: "100%"},
  "&.cm-focused": {outline: "none"},
  ".cm-scroller": {fontFamily: "var(--mono)", fontSize: ".875rem", lineHeight: "1.75", overflow: "auto"},
  ".cm-content": {padding: ".5rem 0 2rem", caretColor: "var(--ink)"},
  ".cm-cursor": {borderLeft: "2px solid var(--tint)"},
  ".cm-line": {padding: "0 .5rem 0 .25rem"},
  ".cm-gutters": {backgroundColor: "transparent", color: "var(--soft)", border: "none", paddingRight: ".5rem"},
  ".cm-lineNumbers .cm-gutterElement": {minWidth: "2.25rem", padding: "0 .5rem 0 0", fontVariantNumeric: "tabular-nums"},
  ".cm-activeLine, .cm-activeLineGutter": {backgroundColor: "transparent"},
  "&.cm-focused .cm-activeLine": {backgroundColor: "var(--wash)"},
  "&.cm-focused .cm-activeLineGutter": {color: "var(--ink)", backgroundColor: "transparent"},
  "& .cm-selectionBackground, &.cm-focused > .cm-scroller > .cm-selectionLayer .cm-selectionBackground": {backgroundColor: "var(--chosen)"},
  ".cm-key": {color: "var(--soft)"},
  ".cm-note": {color: "var(--soft)", fontStyle: "italic"},
  ".cm-under": {textDecoration: "underline dotted var(--remark) 2px", textUnderlineOffset: ".25em", textDecorationSkipInk: "none"},
  ".cm-under-mistake": {textDecoration: "underline wavy var(--mistake) 1px"},
  ".cm-problem": {fontFamily: "var(--sans)", fontSize: ".9375rem", lineHeight: "1.45", color: "var(--remark)", padding: ".1rem .5rem .5rem .75rem",
    marginLeft: ".25rem", borderLeft: "2px dotted var(--remark)", whiteSpace: "normal", maxWidth: "40rem"},
  ".cm-mistake": {color: "var(--mistake)", borderLeftStyle: "solid", borderLeftColor: "var(--mistake)"},
  ".cm-remedy": {color: "var(--ink)"},
  ".cm-problem button": {font: "inherit", fontWeight: "600", color: "var(--ink)", background: "var(--paper)", border: "1px solid currentColor",
    padding: ".1rem .6rem", minHeight: "1.75rem", cursor: "pointer", marginLeft: ".25rem"},
  ".cm-at-mistake": {color: "var(--mistake)", fontWeight: "700", boxShadow: "inset 3px 0 0 var(--mistake)"},
  ".cm-at-remark": {color: "var(--remark)", boxShadow: "inset 3px 0 0 var(--rule)"},
  ".cm-tooltip": {backgroundColor: "var(--paper)", color: "var(--ink)", border: "1px solid var(--ink)", borderRadius: "0"},
  ".cm-tooltip.cm-tooltip-autocomplete > ul": {fontFamily: "var(--sans)", fontSize: ".9375rem", maxHeight: "18rem", maxWidth: "min(92vw, 34rem)"},
  ".cm-tooltip.cm-tooltip-autocomplete > ul > li": {padding: ".25rem .75rem", lineHeight: "1.4", whiteSpace: "normal"},
  ".cm-tooltip-autocomplete ul li[aria-selected]": {backgroundColor: "var(--ink)", color: "var(--paper)"},
  ".cm-completionDetail": {fontStyle: "normal", opacity: "1", color: "var(--soft)", marginLeft: ".75rem"},
  ".cm-tooltip-autocomplete ul li[aria-selected] .cm-completionDetail": {color: "var(--paper)"},
  ".cm-completionMatchedText": {textDecoration: "none", fontWeight: "600"},
  ".cm-panels": {backgroundColor: "var(--paper)", color: "var(--ink)", borderColor: "var(--rule)"},
  ".cm-panel.cm-search": {fontFamily: "var(--sans)", padding: ".5rem 2rem .5rem .5rem"},
  ".cm-panel.cm-search label": {fontSize: ".875rem"},
  ".cm-textfield": {backgroundColor: "var(--paper)", color: "var(--ink)", border: "1px solid var(--soft)", borderRadius: "0", padding: ".3rem .5rem"},
  ".cm-button": {backgroundImage: "none", backgroundColor: "var(--paper)", color: "var(--ink)", border: "1px solid var(--soft)", borderRadius: "0"},
  ".cm-searchMatch": {backgroundColor: "var(--chosen)"},
  ".cm-searchMatch-selected": {outline: "2px solid var(--tint)"},
  ".cm-selectionMatch": {backgroundColor: "var(--wash)"},
})

/* `openEditor({parent, text, label, describedBy, readOnly, say, save, changed, complete, phrases})`.
   `complete({line, column, text, doc})` gives [{word, note, insert, from}], `from` the column where what is typed begins; `phrases` are the words of the
   search panel. Gives text(), set(text), problems(list), go(line), focus(). */
export function openEditor(given) {
  tools = given
  const view = new EditorView({
    parent: given.parent,
    state: EditorState.create({
      doc: given.text,
      extensions: [
        lineNumbers(), history(), drawSelection(), highlightActiveLine(), highlightActiveLineGutter(), highlightSelectionMatches(),
        search({top: true}), problemField, colours, look, EditorView.lineWrapping, indentUnit.of("  "), EditorState.tabSize.of(2),
        EditorState.phrases.of(given.phrases || {}), EditorState.readOnly.of(Boolean(given.readOnly)),
        given.readOnly ? [] : autocompletion({override: [completions(given.complete)], icons: false, activateOnTypingDelay: 60}),
        keymap.of([...tabs, ...completionKeymap, ...searchKeymap, ...historyKeymap, ...defaultKeymap]),
        EditorView.contentAttributes.of({"aria-label": given.label, "aria-describedby": given.describedBy, "aria-multiline": "true", tabindex: "0", spellcheck: "false", autocapitalize: "off"}),
        EditorView.domEventObservers({
          focus: () => { typed = false }, keydown: event => { if (event.key !== "Tab" && event.key !== "Shift") typed = true },
          mousedown: () => { typed = true },
        }),
        EditorView.updateListener.of(update => {
          if (update.docChanged) given.changed(update.transactions.some(each => each.annotation(Transaction.remote)))
        }),
      ],
    }),
  })
  return {
    text: () => view.state.doc.toString(),
    set(text) {
      const now = view.state.doc.toString()
      if (now === text) return
      let start = 0, end = 0
      const most = Math.min(now.length, text.length)
      while (start < most && now[start] === text[start]) start++
      while (end < most - start && now[now.length - 1 - end] === text[text.length - 1 - end]) end++
      view.dispatch({changes: {from: start, to: now.length - end, insert: text.slice(start, text.length - end)}, annotations: Transaction.remote.of(true)})
    },
    problems: list => view.dispatch({effects: setProblems.of(list)}),
    go(line) {
      const at = view.state.doc.line(Math.min(Math.max(line, 1), view.state.doc.lines))
      view.dispatch({selection: {anchor: at.from}, effects: EditorView.scrollIntoView(at.from, {y: "center"})})
      view.focus()
    },
    focus: () => view.focus(),
  }
}
