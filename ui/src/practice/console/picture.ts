// The picture of a console in a card's file: lines at its end that are comments of the text.

const mark = '\n#picture:'
const line = '#picture: jpeg base64'
const letters = 96 // of a line

/** Divides a card file into its text and the picture that it carries, a JPEG in base64; empty: none. */
export function cutPicture(file: string): { text: string; picture: string } {
  const at = file.indexOf(mark)
  if (at < 0) return { text: file, picture: '' }
  const [, ...lines] = file.slice(at + 1).split('\n')
  return { text: file.slice(0, at + 1), picture: lines.map((one) => one.replace(/^#/, '').trim()).join('') }
}

/** A card's text and its picture in one file. */
export function joinPicture(text: string, picture: string): string {
  if (picture === '') return text
  const lines = picture.match(new RegExp(`.{1,${letters}}`, 'g')) ?? []
  return [text.replace(/\n?$/, ''), line, ...lines.map((one) => `# ${one}`), ''].join('\n')
}

/** A picture as the address of an image. */
export function imageOf(picture: string): string {
  return `data:image/jpeg;base64,${picture}`
}

/** What is wrong with a file that somebody chose for a picture. */
export class NoPicture extends Error {
  constructor(readonly why: 'large' | 'unread') {
    super(why)
  }
}

const bytesMost = 200 * 1024 // of a picture, as the reader of card files takes it
const fileMost = 40 * 1024 * 1024
const pointsMost = 120e6 // no camera has more, and more would fill a phone's memory

/**
 * Makes a picture of a file that somebody took or chose: drawn anew, so that nothing of the file goes
 * on but its points, and small enough. Rejects with NoPicture.
 */
export async function pictureOf(file: Blob): Promise<string> {
  if (file.size > fileMost) throw new NoPicture('large')
  const bitmap = await createImageBitmap(file).catch(() => {
    throw new NoPicture('unread')
  })
  try {
    if (bitmap.width * bitmap.height > pointsMost) throw new NoPicture('large')
    if (Math.min(bitmap.width, bitmap.height) < 16) throw new NoPicture('unread')
    for (const side of [1600, 1280, 1024, 800, 640]) {
      const canvas = drawn(bitmap, side)
      for (const quality of [0.85, 0.7, 0.55]) {
        const address = canvas.toDataURL('image/jpeg', quality)
        const picture = address.slice(address.indexOf(',') + 1)
        if (address.startsWith('data:image/jpeg') && (picture.length * 3) / 4 <= bytesMost) return picture
      }
    }
    throw new NoPicture('large')
  } finally {
    bitmap.close()
  }
}

const bytesInLink = 12 * 1024 // of a picture in an address: a third more in letters

/** A picture of a card, drawn so small that it can go into an address. Rejects with NoPicture. */
export async function smallOf(picture: string): Promise<string> {
  const bytes = Uint8Array.from(atob(picture), (letter) => letter.charCodeAt(0))
  const bitmap = await createImageBitmap(new Blob([bytes], { type: 'image/jpeg' })).catch(() => {
    throw new NoPicture('unread')
  })
  try {
    for (const side of [640, 480, 400, 320, 240]) {
      const canvas = drawn(bitmap, side)
      for (const quality of [0.6, 0.45, 0.3]) {
        const address = canvas.toDataURL('image/jpeg', quality)
        const small = address.slice(address.indexOf(',') + 1)
        if ((small.length * 3) / 4 <= bytesInLink) return small
      }
    }
    throw new NoPicture('large')
  } finally {
    bitmap.close()
  }
}

function drawn(bitmap: ImageBitmap, side: number): HTMLCanvasElement {
  const scale = Math.min(1, side / Math.max(bitmap.width, bitmap.height))
  const canvas = document.createElement('canvas')
  canvas.width = Math.max(16, Math.round(bitmap.width * scale))
  canvas.height = Math.max(16, Math.round(bitmap.height * scale))
  const pen = canvas.getContext('2d')
  if (!pen) throw new NoPicture('unread')
  pen.fillStyle = '#fff' // where a picture lets through what is behind it
  pen.fillRect(0, 0, canvas.width, canvas.height)
  pen.drawImage(bitmap, 0, 0, canvas.width, canvas.height)
  return canvas
}
