import type { Engine } from './engine'

/** Asks the engine for something of its own, at an instant of the practice's time. Rejects with an Error for people when it will not, or is gone. */
export async function askEngine<T>(engine: Engine, path: string, now: number, body?: unknown): Promise<T> {
  const { status, body: text } = await engine.call(body === undefined ? 'GET' : 'POST', path, body === undefined ? '' : JSON.stringify(body), now)
  const answer: unknown = JSON.parse(text)
  if (status < 400) return answer as T
  const { title, detail } = answer as { title: string; detail?: string }
  throw new Error(detail || title)
}
