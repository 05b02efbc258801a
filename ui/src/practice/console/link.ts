import { packed, unpacked } from '../../base/transport/packed'

const most = 64 * 1024 // bytes of a card's text: more is none, and a small link must not fill the memory

/** A card's text as the part of an address behind the #. */
export async function linkOf(text: string): Promise<string> {
  return `#card/${await packed(text)}`
}

/** The text of a card that came in an address; rejects where it is none. */
export function textOf(data: string): Promise<string> {
  return unpacked(data, most)
}
