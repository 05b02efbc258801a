import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import '../../base/words/seat'
import { Refused, Unreachable } from '../../base/transport/api'
import { deviceName, Joining } from './joining.svelte'

const wish = { request: 'r', secret: 's', seat: 'clock', side: '', game: 'g', check: '47' } as const
const no = (status: number, words: string) => new Refused(status, '', words, [])

class Shelf {
  readonly kept = new Map<string, string>()
  getItem(key: string) { return this.kept.get(key) ?? null }
  setItem(key: string, value: string) { this.kept.set(key, value) }
  removeItem(key: string) { this.kept.delete(key) }
}

describe('joining', () => {
  beforeEach(() => void vi.useFakeTimers())
  afterEach(() => void vi.useRealTimers())

  it('takes a code however it is written, and nothing that is no letter of a code', () => {
    const joining = new Joining('', 'Phone', new Shelf(), { join: vi.fn(), poll: vi.fn() })
    joining.type('bcdf-')
    joining.type('AE1 ghjk')
    expect(joining.code).toBe('BCDFGHJK')
    expect(joining.ready).toBe(true)
    joining.type('B')
    expect(joining.code).toBe('BCDFGHJK')
    joining.back()
    expect(joining.ready).toBe(false)
  })
  it('begins anew with a code that is scanned while the page is open', async () => {
    const shelf = new Shelf()
    const join = vi.fn().mockRejectedValueOnce(no(404, 'The code was used.')).mockResolvedValue(wish)
    const joining = new Joining('first', 'Phone', shelf, { join, poll: vi.fn().mockResolvedValue(false) })
    await joining.go()
    expect([joining.step, joining.trouble]).toEqual(['typing', 'The code was used.'])
    joining.scanned('second')
    expect([joining.step, joining.trouble]).toEqual(['naming', ''])
    await joining.go()
    expect(join).toHaveBeenLastCalledWith({ token: 'second', device: 'Phone' })
    expect(joining.step).toBe('waiting')
    joining.scanned('third')
    expect([joining.step, shelf.kept.size]).toEqual(['naming', 0])
    joining.close()
  })
  it('asks with the link, waits over a silence, and is let in', async () => {
    const shelf = new Shelf()
    const join = vi.fn().mockResolvedValue(wish)
    const poll = vi.fn().mockResolvedValueOnce(false).mockRejectedValueOnce(new Unreachable('')).mockRejectedValueOnce(no(429, 'Too often.')).mockResolvedValue(true)
    const joining = new Joining('token', ' Phone ', shelf, { join, poll })
    expect(joining.step).toBe('naming')
    await joining.go()
    expect(join).toHaveBeenCalledWith({ token: 'token', device: 'Phone' })
    expect(joining.step).toBe('waiting')
    expect(shelf.kept.size).toBe(1)
    await vi.advanceTimersByTimeAsync(1100)
    expect(joining.silent).toBe(true)
    await vi.advanceTimersByTimeAsync(10_000)
    expect(joining.step).toBe('in')
    expect(shelf.kept.size).toBe(0)
  })
  it('goes on waiting after a reload', async () => {
    const shelf = new Shelf()
    const first = new Joining('token', 'Phone', shelf, { join: () => Promise.resolve(wish), poll: () => Promise.resolve(false) })
    await first.go()
    first.close()
    const second = new Joining('', 'Phone', shelf, { join: vi.fn(), poll: () => Promise.resolve(true) })
    expect(second.wish?.check).toBe('47')
    await vi.advanceTimersByTimeAsync(10)
    expect(second.step).toBe('in')
  })
  it('says why not, and lets a person type another code', async () => {
    const poll = vi.fn().mockRejectedValue(no(403, 'The bench said no.'))
    const joining = new Joining('token', 'Phone', new Shelf(), { join: () => Promise.resolve(wish), poll })
    await joining.go()
    await vi.advanceTimersByTimeAsync(10)
    expect([joining.step, joining.trouble]).toEqual(['over', 'The bench said no.'])
    joining.again()
    expect([joining.step, joining.trouble]).toEqual(['typing', ''])
  })
  it('falls back to a code where the link is used up, and keeps it where the bench is not there', async () => {
    const join = vi.fn().mockRejectedValueOnce(new Unreachable('')).mockRejectedValue(no(403, 'Used.'))
    const joining = new Joining('token', 'Phone', new Shelf(), { join, poll: vi.fn() })
    await joining.go()
    expect(joining.step).toBe('naming')
    await joining.go()
    expect([joining.step, joining.trouble]).toEqual(['typing', 'Used.'])
  })
  it('names a device by what it is', () => {
    expect(deviceName('Mozilla/5.0 (Linux; Android 15) Mobile')).toBe('Android phone')
    expect(deviceName('Mozilla/5.0 (X11; Linux x86_64)')).toBe('Computer')
  })
})
