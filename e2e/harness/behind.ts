/** A bench as it is asked behind its pages' back: the program, or the thread of a page. */
export interface Behind {
  /** Asks an operation by its path, such as "/games". */
  ask(method: string, path: string, body?: string): Promise<{ status: number; text: string }>
}

/** Whether the clock of a game runs, as the bench itself has it. */
export async function runsAt(bench: Behind, game: string): Promise<boolean> {
  const { text } = await bench.ask('GET', `/games/${game}`)
  return (JSON.parse(text) as { state: { clock: { running: boolean } } }).state.clock.running
}
