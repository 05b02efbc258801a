import type { Engine } from './engine'

/** The engine would not do something. The message is for people. */
export class EngineRefused extends Error {}

/** Asks the engine for something of its own, at an instant of the practice's time. Rejects with EngineRefused, or when the engine is gone. */
export async function askEngine<T>(engine: Engine, path: string, now: number, body?: unknown): Promise<T> {
  const { status, body: text } = await engine.call(body === undefined ? 'GET' : 'POST', path, body === undefined ? '' : JSON.stringify(body), now)
  const answer: unknown = JSON.parse(text)
  if (status < 400) return answer as T
  const { title, detail } = answer as { title: string; detail?: string }
  throw new EngineRefused(detail || title)
}
