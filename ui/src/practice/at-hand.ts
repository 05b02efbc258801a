import type { Answered } from '../base/transport/link'

// A browser takes even a body that is in the page through a pipe and another thread when a Response is asked
// for it: up to 15 ms of the way of a post, and as much of the answer. Here it is read where it is.

/** The bytes of what a page sends: a text or a file; nothing has none. */
export function bytesOf(body: RequestInit['body']): Uint8Array<ArrayBuffer> | Promise<Uint8Array<ArrayBuffer>> {
  if (typeof body === 'string') return new TextEncoder().encode(body)
  return new Response(body ?? null).arrayBuffer().then((bytes) => new Uint8Array(bytes))
}

/** An answer whose bytes are in the page already. */
export class AtHand implements Answered {
  readonly statusText = ''
  readonly headers: Headers

  constructor(private readonly body: Uint8Array<ArrayBuffer>, readonly status: number, headers: Record<string, string>) {
    this.headers = new Headers(headers)
  }

  get ok(): boolean {
    return this.status >= 200 && this.status < 300
  }

  text(): Promise<string> {
    return Promise.resolve(new TextDecoder().decode(this.body))
  }

  async json(): Promise<unknown> {
    return JSON.parse(await this.text()) as unknown
  }

  blob(): Promise<Blob> {
    return Promise.resolve(new Blob([this.body], { type: this.headers.get('content-type') ?? '' }))
  }

  arrayBuffer(): Promise<ArrayBuffer> {
    return Promise.resolve(this.body.slice().buffer)
  }
}
