/** The engine as these pages need it: questions by path, answers in JSON. */
export interface Asked {
  call(method: string, path: string, body: string, now: number): Promise<{ status: number; body: string }>
}

/** The engine answered, and the answer is no. The message is for people. */
export class Unable extends Error {
  constructor(readonly title: string, readonly detail: string) {
    super([title, detail].filter(Boolean).join(' '))
  }
}

/** The instant of these questions: none of them is about a practice that is running. */
const noInstant = 0

/** Asks the engine. Rejects with Unable where it says no. */
export async function ask<T>(engine: Asked, path: string, body?: unknown): Promise<T> {
  const sent = body === undefined ? '' : JSON.stringify(body)
  const answer = await engine.call(body === undefined ? 'GET' : 'POST', path, sent, noInstant)
  const said = JSON.parse(answer.body === '' ? '{}' : answer.body) as T & { title?: string; detail?: string }
  if (answer.status >= 400) throw new Unable(said.title ?? String(answer.status), said.detail ?? '')
  return said
}
