// Which drills were watched on this device, by whom: each skill begins with its play-through, once.

const place = 'whistlestop.practice.watched'
const most = 600 // sixty people and more drills than there are; the oldest go

/** Whether somebody has watched a drill, or passed over it. Without a name it is whoever uses this device. */
export function wasWatched(who: string, drill: string): boolean {
  return held().includes(mark(who, drill))
}

/** Notes that somebody has watched a drill, or passed over it. */
export function noteWatched(who: string, drill: string): void {
  const now = mark(who, drill)
  try {
    localStorage.setItem(place, JSON.stringify([...held().filter((one) => one !== now), now].slice(-most)))
  } catch {
    // A browser that keeps nothing shows it again.
  }
}

const mark = (who: string, drill: string) => `${drill} ${who.toLowerCase()}`

function held(): string[] {
  try {
    const list: unknown = JSON.parse(localStorage.getItem(place) ?? '[]')
    return Array.isArray(list) ? list.filter((one) => typeof one === 'string') : []
  } catch {
    return []
  }
}
