import { readFile } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import type { Page } from '@playwright/test'
import { marked } from 'marked'

const docs = join(dirname(fileURLToPath(import.meta.url)), '../../docs')

/** How a guide looks on paper: small letters that can be read, pictures beside one another. */
const style = `
  @page { margin: 8mm 10mm }
  body { margin: 0; font: 8.5pt/1.2 "Liberation Sans", Arial, sans-serif; color: #000 }
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
  await page.setContent(`<!doctype html><html lang="en"><base href="${pathToFileURL(docs).href}/"><title>${name}</title><style>${style}</style>${html}`)
  await page.evaluate(() => Promise.all([...document.images].map((image) => image.decode())))
  return page.pdf({ format })
}
