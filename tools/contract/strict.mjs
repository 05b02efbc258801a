// Compiles the published schemas in the strict mode of a validator of its own,
// and holds records of a whole game against them: what the program writes is
// taken, what it never writes is refused.
import { readFileSync } from 'node:fs'
import Ajv2020 from 'ajv/dist/2020.js'

const root = new URL('../../', import.meta.url)
const text = (path) => readFileSync(new URL(path, root), 'utf8')
const ajv = new Ajv2020.default({ strict: true, formats: { 'date-time': (s) => !Number.isNaN(Date.parse(s)) } })

let failed = 0
const fail = (message) => {
  failed++
  console.error(`strict: ${message}`)
}
const compiled = (path, id) => {
  const schema = JSON.parse(text(path))
  if (schema.$id !== id) fail(`${path} has the $id ${schema.$id}`)
  try {
    return ajv.compile(schema)
  } catch (error) {
    fail(`${path}: ${error.message}`)
    return undefined
  }
}
const taken = (validate, what, value) => {
  if (validate && !validate(value)) fail(`${what} is refused: ${ajv.errorsText(validate.errors).slice(0, 500)}`)
}
const refused = (validate, what, value) => {
  if (validate && validate(value)) fail(`${what} is taken`)
}

const report = compiled('api/report.schema.json', 'urn:whistlestop:schema:report:1')
const ledger = compiled('api/ledger.schema.json', 'urn:whistlestop:schema:ledger:1')

for (const form of ['elapsed', 'remaining']) {
  taken(report, `the report with ${form} times`, JSON.parse(text(`record/report/testdata/whole-game-${form}.json`)))
}
const changed = (change) => {
  const document = JSON.parse(text('record/report/testdata/whole-game-elapsed.json'))
  change(document)
  return document
}
refused(report, 'a report with a negative time', changed((d) => (d.goals[0].at.elapsed_ms = -1000)))
refused(report, 'a report of another version', changed((d) => (d.version = 2)))
refused(report, 'a report with a strange field', changed((d) => (d.goals[0].luck = 1)))

const lines = text('record/report/testdata/whole-game.jsonl').trim().split('\n')
lines.forEach((line, i) => taken(ledger, `line ${i + 1} of the ledger`, JSON.parse(line)))
const goal = JSON.parse(lines.find((line) => line.includes('whistlestop.goal.')))
goal.data.at.elapsed_ms = -1000
refused(ledger, 'an entry with a negative time', goal)

process.exit(failed > 0 ? 1 : 0)
