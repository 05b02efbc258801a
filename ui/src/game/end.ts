/**
 * EndWatch tells once when a clock runs out while somebody watches. A page that
 * is opened after the end hears nothing.
 */
export class EndWatch {
  #was: { key: string; running: boolean } = { key: '', running: false }

  /** `key` names the stage. True in the one frame in which its clock has run out. */
  look(key: string, running: boolean, over: boolean): boolean {
    const was = this.#was
    this.#was = { key, running }
    return over && was.key === key && was.running && !running
  }
}
