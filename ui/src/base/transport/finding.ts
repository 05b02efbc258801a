/** What is wrong with a file of the season, or worth a look. */
export interface Finding {
  line?: number
  mistake: boolean
  text: string
  /** The setting that it is about, as a form has it. */
  table?: string
  at?: number
  key?: string
}
