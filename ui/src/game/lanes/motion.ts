import { painted } from '../../base/later/painted'

const slide = 260 // milliseconds; below the 300 that a movement may take
const came = 240 // milliseconds

/** Whether whoever sits here asked for a screen that does not move. */
const still = () => matchMedia('(prefers-reduced-motion: reduce)').matches

/** A row that has gone from its rail slides out of it: a picture of it does, for nobody but the eye. */
export function slideOut(rail: HTMLElement, place: number): void {
  const row = rail.children[place]
  if (!(row instanceof HTMLElement) || still()) return
  const picture = row.cloneNode(true) as HTMLElement
  for (const one of [picture, ...picture.querySelectorAll('*')]) {
    for (const name of one.getAttributeNames()) if (name.startsWith('data-')) one.removeAttribute(name)
  }
  picture.inert = true
  picture.ariaHidden = 'true'
  Object.assign(picture.style, { position: 'absolute', top: `${row.offsetTop}px`, left: '0', right: '0' })
  // A list that becomes empty is emptied whole: the picture comes after that, and before anything is painted.
  queueMicrotask(() => {
    rail.append(picture)
    picture.animate({ transform: ['none', 'translateX(100%)'], opacity: [1, 0.4] }, { duration: slide, easing: 'ease-in' }).onfinish = () => picture.remove()
  })
}

/** A figure that has changed is larger for a moment, once it has been painted: to begin a movement takes a part of a picture's time. */
export function swell(figure: HTMLElement): void {
  painted(() => {
    if (!still()) figure.animate({ transform: ['scale(1.22)', 'none'] }, { duration: came, easing: 'ease-out' })
  })
}
