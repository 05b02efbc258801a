import { createHash } from 'node:crypto'
import { access, copyFile, mkdir, readdir, readFile, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { build } from 'vite'
import { apart } from './apart.js'

const ui = decodeURI(new URL('..', import.meta.url).pathname)
const made = join(ui, '../.build/engine') // by the Makefile: the engines, packed, and Go's wasm_exec.js
const target = join(ui, 'dist/practice')

// What the site may do on hosts that send no policy of their own. Only its own
// files; "file:" and "blob:" are for a page that was opened from a folder, whose
// engine cannot come as a file. 'wasm-unsafe-eval' lets WebAssembly be compiled,
// and no text be run as a script.
const policy = [
  "default-src 'none'", "script-src 'self' file: 'wasm-unsafe-eval'", "worker-src 'self' blob:",
  "style-src 'self' file:", "style-src-attr 'unsafe-inline'", "img-src 'self' file: data:", "font-src 'self' file:",
  "connect-src 'self'", "manifest-src 'self'", "base-uri 'none'", "form-action 'none'",
].join('; ')

const messages = join(ui, '../internal/locale/messages')

/** The file of a language; src/practice/languages.ts loads it where a page speaks the language. */
const languageFile = (tag) => `words-${tag}.js`

// Not needed where a service worker runs, and so not kept by it.
const notKept = ['engine.js', 'README.txt', 'sw.js', 'files.json']

// The bench for real games: kept once somebody runs one.
const realGames = ['bench.rest', 'bench-worker.js', 'bench-code.js', 'press.rest', 'press-worker.js']

// Letters for the PDF of a real game that the engines have not: kept once a name needed them. The last one
// comes packed, under a name that no host unpacks by itself.
const fonts = join(ui, '../internal/paper/pdf/fonts')
const faces = {
  'RobotoCondensed_400Regular.ttf': 'RobotoCondensed_400Regular.ttf',
  'RobotoCondensed_700Bold.ttf': 'RobotoCondensed_700Bold.ttf',
  'DroidSansFallback.packed': 'DroidSansFallback.ttf.gz',
}
const licences = ['OFL-RobotoCondensed.txt', 'Apache-2.0-DroidSansFallback.txt']

/** Makes the bundle a site: the page, the engine, the list of files and the service worker. */
export function finish() {
  return {
    name: 'practice-site',
    apply: 'build',
    async buildStart() {
      await access(join(made, 'engine.wasm.xz')).catch(() => {
        throw new Error('The practice engine is not built. Run make build: it compiles cmd/engine first.')
      })
    },
    // When all files of the bundle and of public are written.
    closeBundle: { order: 'post', sequential: true, handler: finishSite },
  }
}

async function finishSite() {
  await rm(join(target, '.gitkeep'), { force: true })
  const wide = /.{0,30}[^\0-\xff]/.exec(await readFile(join(target, 'practice.js'), 'utf8'))
  if (wide) throw new Error(`a browser keeps practice.js at twice its length for ${wide[0]}: write that letter as \\u`)
  const tags = (await readdir(messages)).filter((tag) => tag !== 'en').sort()
  for (const tag of tags) {
    await writeFile(join(target, languageFile(tag)), `globalThis.whistlestopWords = ${JSON.stringify(await texts(tag))}\n`)
  }
  await writeFile(join(target, 'index.html'), page(await readFile(join(target, 'practice.html'), 'utf8'), tags))
  await rm(join(target, 'practice.html'))
  // The icon is mark.svg without its round corners, for home screens that take no SVG and cut corners themselves.
  for (const name of ['README.txt', 'practice.webmanifest', 'icon.png']) {
    await copyFile(join(ui, 'practice-site', name), join(target, name))
  }

  const engine = await readFile(join(made, 'engine.wasm.xz'))
  await writeFile(join(target, 'engine.wasm.xz'), engine)
  const [engineSizes, bench, press] = packed(await Promise.all(['engine', 'bench', 'press'].map(async (name) => [name, await readFile(join(made, `${name}.wasm`))])))
  const go = await readFile(join(made, 'wasm_exec.js'), 'utf8')
  const worker = `const engineSizes = ${JSON.stringify(engineSizes.sizes)}\n${go}${await script('worker.ts')}`
  await writeFile(join(target, 'engine-worker.js'), worker)
  for (const name of ['bench.rest', 'press.rest']) await copyFile(join(made, name), join(target, name))
  await writeFile(join(target, 'bench-worker.js'), go + (await script('pocket/bench-worker.ts')))
  await writeFile(join(target, 'bench-code.js'), `const benchProgram = ${JSON.stringify(bench)};\n${await script('pocket/code-worker.ts')}`)
  await writeFile(join(target, 'press-worker.js'), `const pressProgram = ${JSON.stringify(press)};\n${go}${await script('pocket/press-worker.ts')}`)
  const stick = JSON.stringify({ worker, engine: engine.toString('base64') })
  await writeFile(join(target, 'engine.js'), `globalThis.whistlestopStick = ${stick}\n`)

  await mkdir(join(target, 'faces'), { recursive: true })
  for (const [name, font] of Object.entries(faces)) await copyFile(join(fonts, font), join(target, 'faces', name))
  for (const name of licences) await copyFile(join(fonts, name), join(target, 'faces', name))

  // What an association puts into its site: nothing yet. The command that writes the site puts it here.
  await writeFile(join(target, 'own.js'), 'globalThis.whistlestopOwn = null\n')

  const kept = {}
  const asked = {} // kept once somebody asked for them
  for (const name of (await names()).filter((one) => !notKept.includes(one) && !licences.some((text) => one === `faces/${text}`))) {
    const list = tags.some((tag) => name === languageFile(tag)) || realGames.includes(name) || name.startsWith('faces/') ? asked : kept
    list[name === 'index.html' ? '' : name] = sum(await read(name))
  }
  const work = await script('service-worker.ts')
  const version = sum(JSON.stringify([kept, asked]) + work).slice(0, 16)
  await writeFile(join(target, 'sw.js'), `const site = ${JSON.stringify({ version, files: kept, asked })};\n${work}`)

  // By this list whoever writes the site over an older one knows what belongs to it.
  const files = {}
  for (const name of await names()) files[name] = sum(await read(name))
  await writeFile(join(target, 'files.json'), JSON.stringify({ site: 'whistlestop-practice', version, files }, null, 1) + '\n')
}

/** The page with a classic script, which also a page from a folder may load. */
function page(html, tags) {
  const changes = [
    [/<html lang="en">/, tags.length > 0 ? `<html lang="en" data-languages="${tags.join(' ')}">` : '<html lang="en">'],
    [/<script type="module" crossorigin src="([^"]+)"><\/script>/, '<script defer src="./own.js"></script>\n    <script defer src="$1"></script>'],
    [/<link rel="stylesheet" crossorigin href=/, '<link rel="stylesheet" href='],
    [/(?=<link rel="icon")/, '<link rel="apple-touch-icon" href="./icon.png" />\n    '],
    [/<title>/, `<meta http-equiv="Content-Security-Policy" content="${policy}" />\n    <title>`],
  ]
  return changes.reduce((text, [from, to]) => {
    if (!from.test(text)) throw new Error(`practice.html has no ${from} any more: change practice-site/finish.js`)
    return text.replace(from, to)
  }, html)
}

/** All texts of a language by their keys, those of the engine included. */
async function texts(tag) {
  const files = (await readdir(join(messages, tag))).filter((name) => name.endsWith('.json')).sort()
  return Object.assign({}, ...(await Promise.all(files.map(async (name) => JSON.parse(await readFile(join(messages, tag, name), 'utf8'))))))
}

/** A file of src/practice, with what it imports, as a script of its own. */
async function script(name) {
  const { output } = await build({
    configFile: false, publicDir: false, logLevel: 'warn', root: ui,
    build: {
      write: false, target: 'es2022', modulePreload: false,
      rollupOptions: { input: join(ui, 'src/practice', name), output: { format: 'iife', inlineDynamicImports: true } },
    },
  })
  return output[0].code
}

/** All files of the site, sorted, with slashes. */
async function names() {
  const entries = await readdir(target, { recursive: true, withFileTypes: true })
  return entries.filter((one) => one.isFile()).map((one) => join(one.parentPath, one.name).slice(target.length + 1).replaceAll('\\', '/')).sort()
}

/** What the threads are told of the programs that are packed behind one another (src/practice/pocket/compiled.ts). */
function packed(programs) {
  let from = 0
  const files = []
  return programs.map(([name, wasm]) => {
    const { data, code } = apart(wasm)
    files.push(files.length === 0 ? `${name}.wasm.xz` : `${name}.rest`)
    const one = { name, files: [...files], from, sizes: { data: data.length, code: code.length }, sum: sum(wasm).slice(0, 16) }
    from += data.length + code.length
    return one
  })
}

function read(name) {
  return readFile(join(target, name))
}

function sum(content) {
  return createHash('sha256').update(content).digest('hex')
}
