/** A number without the zero that some people write before a single digit; 0 and 00 are two numbers. */
function bare(number: string): string {
  return /^0[1-9]$/.test(number) ? number.slice(1) : number
}

/** Whether two ways of writing are one number: 5 and 05 are. */
export function sameNumber(a: string, b: string): boolean {
  return bare(a) === bare(b)
}

/** The number as a roster writes it, or as it was typed where nobody there wears it. */
export function rostered(numbers: string[], typed: string): string {
  return numbers.includes(typed) ? typed : (numbers.find((one) => sameNumber(one, typed)) ?? typed)
}
