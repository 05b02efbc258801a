import { describe, expect, it } from 'vitest'
import { AtHand, bytesOf } from './at-hand'

const text = 'Zoë ⏱ {"a":1}'

describe('what a page sends', () => {
  it.each([
    ['a text', text],
    ['a file', new Blob([text])],
  ])('is %s as bytes', async (_, body) => expect(new TextDecoder().decode(await bytesOf(body))).toBe(text))

  it('is nothing', async () => {
    expect(await bytesOf(undefined)).toHaveLength(0)
    expect(await bytesOf('')).toHaveLength(0)
  })
})

describe('an answer that is here', () => {
  const media = 'application/json'
  const bytes = () => new TextEncoder().encode('{"name":"Zoë"}')

  // A Response with the same in it is the measure.
  it.each([200, 201, 299, 300, 404, 422, 503])('with %i reads as a Response does', async (status) => {
    const answer = () => new AtHand(bytes(), status, { 'content-type': media })
    const response = () => new Response(bytes(), { status, headers: { 'content-type': media } })
    expect(answer().ok).toBe(response().ok)
    expect(answer().status).toBe(response().status)
    expect(answer().headers.get('Content-Type')).toBe(media)
    expect(await answer().json()).toEqual(await response().json())
    expect(await answer().text()).toBe(await response().text())
    expect(new Uint8Array(await answer().arrayBuffer())).toEqual(new Uint8Array(await response().arrayBuffer()))
    expect((await answer().blob()).type).toBe((await response().blob()).type)
    expect(await (await answer().blob()).text()).toBe(await (await response().blob()).text())
  })

  it('rejects what is no JSON, as a Response does', async () => {
    await expect(new AtHand(new Uint8Array(), 200, {}).json()).rejects.toThrow(SyntaxError)
  })
})
