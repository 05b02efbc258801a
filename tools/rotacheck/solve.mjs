// Solves integer programs in the LP format: a JSON list of texts in, a JSON list of
// objective values out. The time limit of each is in seconds.
import { readFileSync } from 'node:fs'
import load from 'highs'

const { programs, limit } = JSON.parse(readFileSync(0, 'utf8'))
const highs = await load()
const out = programs.map((text) => {
  const found = highs.solve(text, { time_limit: limit, mip_rel_gap: 0, mip_abs_gap: 0.5, output_flag: false })
  return { status: found.Status, value: Math.round(found.ObjectiveValue) }
})
console.log(JSON.stringify(out))
