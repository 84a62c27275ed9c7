// Joins the editor and its libraries into ../editor.js, or into the file named; `npm ci` first.
import {build} from "esbuild"
import {readFileSync} from "node:fs"
import {dirname, join} from "node:path"
import {fileURLToPath} from "node:url"

const here = dirname(fileURLToPath(import.meta.url))
await build({
  entryPoints: [join(here, "editor.js")],
  outfile: process.argv[2] || join(here, "..", "editor.js"),
  bundle: true, minify: true, format: "esm", target: "es2022", charset: "utf8",
  banner: {js: "/*\n" + readFileSync(join(here, "LICENCE.txt"), "utf8").trimEnd() + "\n*/"},
})
