import type { SlotForecast } from '../../base/contract/contract'
import type { Link } from '../../base/transport/link'
import { ask } from '../../base/transport/api'

const hour = 3_600_000

/** Asks for the forecast of a game. */
export async function askOutlook(game: string, over: Link): Promise<SlotForecast> {
  return (await ask<{ slot: SlotForecast }>(`/games/${game}/slot`, undefined, { over })).slot
}

/** An instant as the clock on the wall shows it, "10:42". */
export function clockTime(ms: number): string {
  const date = new Date(ms)
  return `${date.getHours()}:${String(date.getMinutes()).padStart(2, '0')}`
}

/**
 * The instant that a time on the wall clock means: the one nearest to `now`, so
 * that 0:15 is after midnight in a late game. Null for what is no time.
 */
export function readWallTime(text: string, now: number): number | null {
  const found = /^(\d{1,2})[:.]?(\d{2})$/.exec(text.trim())
  if (!found) return null
  const [hours, minutes] = [Number(found[1]), Number(found[2])]
  if (hours > 23 || minutes > 59) return null
  const day = new Date(now)
  day.setHours(hours, minutes, 0, 0)
  const at = day.getTime()
  return [at - 24 * hour, at, at + 24 * hour].reduce((best, one) => (Math.abs(one - now) < Math.abs(best - now) ? one : best))
}
