import type { Page } from '@playwright/test'

/** A picture of a console that is nobody's: coloured rectangles in rows, drawn by the browser under test. */
export async function photoOfKeys(page: Page, rows: number, inRow: number, media = 'image/png'): Promise<Buffer> {
  const base64 = await page.evaluate(({ rows, inRow, media }) => {
    const canvas = document.createElement('canvas')
    canvas.width = 2400
    canvas.height = 1800
    const pen = canvas.getContext('2d')
    if (!pen) throw new Error('no canvas')
    pen.fillStyle = '#dde'
    pen.fillRect(0, 0, canvas.width, canvas.height)
    for (let row = 0; row < rows; row++) {
      for (let n = 0; n < inRow; n++) {
        pen.fillStyle = `hsl(${(row * inRow + n) * 17} 60% 45%)`
        pen.fillRect(60 + (n * 2300) / inRow, 60 + (row * 1700) / rows, 2000 / inRow, 1500 / rows)
      }
    }
    return canvas.toDataURL(media, 0.5).split(',')[1] ?? ''
  }, { rows, inRow, media })
  return Buffer.from(base64, 'base64')
}
