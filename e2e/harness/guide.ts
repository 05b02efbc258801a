import { readFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import type { Page } from '@playwright/test'
import { marked } from 'marked'

const root = join(dirname(fileURLToPath(import.meta.url)), '../..')
const docs = join(root, 'docs')

/** The program's own face, so that a page breaks alike whatever faces a machine has. */
async function faces(): Promise<string> {
  const rules = [400, 700].flatMap((weight) => ['latin', 'latin-ext'].map(async (part) => {
    const file = join(root, `ui/node_modules/@fontsource/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-${part}-${weight}-normal.woff2`)
    const data = (await readFile(file)).toString('base64')
    const range = part === 'latin' ? 'U+0000-00FF, U+2000-206F, U+20AC, U+2122, U+2191, U+2193, U+2212' : 'U+0100-02BA, U+1E00-1E9F'
    return `@font-face { font-family: Guide; font-weight: ${weight}; src: url(data:font/woff2;base64,${data}) format("woff2"); unicode-range: ${range} }`
  }))
  return (await Promise.all(rules)).join('\n')
}

/** How a guide looks on paper: small letters that can be read, pictures beside one another. */
const style = `
  @page { margin: 8mm 10mm }
  body { margin: 0; font: 8.5pt/1.2 Guide, sans-serif; color: #000 }
  h1 { font-size: 16pt; margin: 0 0 2pt }
  h2 { font-size: 10.5pt; margin: 5pt 0 1pt }
  p, ul, ol, table { margin: 0 0 3pt }
  ul, ol { padding-left: 14pt }
  table { border-collapse: collapse; width: 100% }
  th, td { border: 0.5pt solid #777; padding: 1pt 4pt; text-align: left; vertical-align: top }
  th:empty { display: none }
  img { height: 32mm; width: auto; max-width: 70%; margin-right: 4mm; border: 0.5pt solid #777 }
  a { color: inherit }
  code { font-size: 1em }
`

/** Prints a guide of docs/ as a PDF. */
export async function printGuide(page: Page, name: string, format: 'A4' | 'Letter'): Promise<Buffer> {
  const text = await readFile(join(docs, name), 'utf8')
  const pictures = new Map<string, string>()
  for (const [, path = ''] of text.matchAll(/!\[[^\]]*\]\(([^)]+)\)/g)) {
    pictures.set(path, `data:image/png;base64,${(await readFile(join(docs, path))).toString('base64')}`)
  }
  let html = await marked.parse(text)
  for (const [path, data] of pictures) html = html.replaceAll(`src="${path}"`, `src="${data}"`)
  await page.setContent(`<!doctype html><html lang="en"><base href="${pathToFileURL(docs).href}/"><title>${name}</title><style>${await faces()}${style}</style>${html}`)
  await page.evaluate(async () => {
    await document.fonts.ready
    await Promise.all([...document.images].map((image) => image.decode()))
  })
  return page.pdf({ format })
}
