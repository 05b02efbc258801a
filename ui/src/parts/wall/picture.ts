import { ask } from '../../base/transport/api'

/** The id of the picture that the Wall shows in the breaks; empty: there is none. */
export interface Kept { picture: string }

const most = { width: 1920, height: 1080 } // points, of the screens that stand in rinks
const quality = 0.9 // of a photo that is made smaller

export const keptPicture = () => ask<Kept>('/wall')
export const removePicture = () => ask<Kept>('/wall/picture', undefined, { method: 'DELETE' })
export const pictureAddress = (id: string) => `/api/wall/picture?of=${id}`

/** Keeps a file as the picture. Photos are turned as they were held and made as small as a screen is. */
export async function keepPicture(file: File): Promise<Kept> {
  return ask<Kept>('/wall/picture', await fitted(file), { method: 'PUT', type: 'application/octet-stream', within: 30_000 })
}

/** The file as it fits a screen, or as it is where it cannot be read here: the bench says what is wrong with it. */
async function fitted(file: File): Promise<Blob> {
  if (file.type !== 'image/png' && file.type !== 'image/jpeg') return file
  const image = await createImageBitmap(file, { imageOrientation: 'from-image' }).catch(() => null)
  if (!image) return file
  const scale = Math.min(1, most.width / image.width, most.height / image.height)
  const canvas = document.createElement('canvas')
  canvas.width = Math.max(1, Math.round(image.width * scale))
  canvas.height = Math.max(1, Math.round(image.height * scale))
  canvas.getContext('2d')?.drawImage(image, 0, 0, canvas.width, canvas.height)
  image.close()
  return (await new Promise<Blob | null>((made) => canvas.toBlob(made, file.type, quality))) ?? file
}
