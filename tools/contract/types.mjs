// Writes ui/src/base/contract/contract.d.ts from schema.json beside it. With
// --check it writes nothing and fails when the committed file differs.
import { readFile, writeFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { compile } from 'json-schema-to-typescript'

const folder = join(dirname(fileURLToPath(import.meta.url)), '../../ui/src/base/contract')
const schema = JSON.parse(await readFile(join(folder, 'schema.json'), 'utf8'))
const compiled = await compile(schema, 'Contract', {
  bannerComment: '// Made from schema.json by tools/contract/types.mjs; do not edit. Run "make contract".',
  additionalProperties: false,
  unreachableDefinitions: true,
  style: { semi: false, singleQuote: true, printWidth: 120 },
})
// What the generator says beyond the types is taken out, and a member of a
// union stands on one line.
const text = compiled
  .replace(/( \*\n)? \* This interface was referenced by `Contract`'s JSON-Schema\n \* via the `definition` "\w+"\.\n/g, '')
  .replace(/\/\*\*\n \*\/\n/g, '')
  .replace(/( +\*\n)? +\* @m(in|ax)Items \d+\n/g, '')
  .replace(/^(\s*)\/\*\*\n\s*\* (.*)\n\s*\*\/$/gm, '$1/** $2 */')
  .replace(/\n\/\*\*.*\*\/\nexport interface Contract \{[^}]*\}\n/, '')
  .replace(/\{\n +(at: \w+)\n +(body: \w+)\n +\}/g, '{ $1; $2 }')
  .replace(/\{\n +((?:kind|type): '[\w.]+')\n +((?:body|data): .*)\n +\}/g, '{ $1; $2 }')

const path = join(folder, 'contract.d.ts')
if (process.argv.includes('--check')) {
  if ((await readFile(path, 'utf8')) !== text) {
    console.error('ui/src/base/contract/contract.d.ts does not match schema.json: run "make contract" and commit the result')
    process.exit(1)
  }
} else {
  await writeFile(path, text)
}
