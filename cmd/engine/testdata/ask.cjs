// Runs the engine under node: asks it what stands in a file, a question a line
// ([method, path, body, now]), and writes each answer into another file, a line
// each ([status, body]).
//
//   node ask.cjs wasm_exec.js engine.wasm questions answers
const fs = require('node:fs')
const [exec, engine, questions, answers] = process.argv.slice(2)
globalThis.fs = fs
globalThis.path = require('node:path')
require(exec)

globalThis.whistlestopReady = () =>
  setTimeout(() => {
    const out = fs.openSync(answers, 'w')
    for (const line of fs.readFileSync(questions, 'utf8').trimEnd().split('\n')) {
      const { status, body } = globalThis.whistlestopEngine.call(...JSON.parse(line))
      fs.writeSync(out, JSON.stringify([status, body]) + '\n')
    }
    fs.closeSync(out)
    process.exit(0)
  }, 0)

const go = new globalThis.Go()
WebAssembly.instantiate(fs.readFileSync(engine), go.importObject).then(
  ({ instance }) => go.run(instance),
  (reason) => {
    console.error(reason)
    process.exit(1)
  },
)
