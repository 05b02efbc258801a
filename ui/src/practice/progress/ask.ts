import { askEngine } from '../ask'
import type { Engine } from '../engine'

/** The instant of these questions: none of them is about a practice that is running. */
const noInstant = 0

/** Asks the engine about scripts and results. Rejects with EngineRefused, or when the engine is gone. */
export function ask<T>(engine: Engine, path: string, body?: unknown): Promise<T> {
  return askEngine<T>(engine, path, noInstant, body)
}
