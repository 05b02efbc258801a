import type { Page } from '@playwright/test'

/** A rectangle in CSS pixels. */
export interface Box { x: number; y: number; width: number; height: number }

/** The rows of a rectangle of a page that have light paint on a dark ground: the first, and the one after the last. */
export interface Ink { top: number; bottom: number }

/**
 * Finds what is painted in a rectangle of a page, from a picture of it. The picture is read in a page
 * of its own, because the policy of ours loads none that is not ours.
 */
export async function inkOf(page: Page, box: Box): Promise<Ink> {
  const size = page.viewportSize()
  const picture = await page.screenshot({ animations: 'disabled' })
  const reader = await page.context().newPage()
  try {
    return await reader.evaluate(async ({ data, width, at }) => {
      const image = new Image()
      image.src = `data:image/png;base64,${data}`
      await image.decode()
      const scale = image.width / width
      const canvas = document.createElement('canvas')
      canvas.width = Math.round(at.width * scale)
      canvas.height = Math.round(at.height * scale)
      const context = canvas.getContext('2d')!
      context.drawImage(image, -Math.round(at.x * scale), -Math.round(at.y * scale))
      const { data: pixels } = context.getImageData(0, 0, canvas.width, canvas.height)
      const light = 140 // of 255, in the green: half of what figures have
      const rows = Array.from({ length: canvas.height }, (_, y) => y).filter((y) =>
        Array.from({ length: canvas.width }, (_, x) => pixels[(y * canvas.width + x) * 4 + 1] ?? 0).some((green) => green > light))
      return { top: at.y + (rows[0] ?? 0) / scale, bottom: at.y + ((rows.at(-1) ?? -1) + 1) / scale }
    }, { data: picture.toString('base64'), width: size?.width ?? 0, at: box })
  } finally {
    await reader.close()
  }
}
