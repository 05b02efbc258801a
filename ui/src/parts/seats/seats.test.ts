import { afterEach, describe, expect, it, vi } from 'vitest'
import type { Invite } from '../../base/transport/seat'
import { type SeatList, type SeatRequest, seatsApi } from '../../base/transport/seats'
import { BenchSeats } from './seats.svelte'

const none: SeatList = { invites: [], requests: [], sessions: [], handed: [] }
const request: SeatRequest = { id: 'r', device: 'Phone', seat: 'clock', side: '', check: '47', from: '192.168.7.31', asked_ms: 0 }
const session = { id: 's', device: 'Phone', seat: 'clock' as const, side: '' as const, since_ms: 0, heard_ms: 0, open: 1 }
const invite: Invite = { id: 'i', seat: 'clock', side: '', code: 'BCDF-GHJK', link: 'http://192.168.7.20:8480/join#x', qr: '<svg/>', expires_ms: 1 }

describe('the seats as the bench sees them', () => {
  afterEach(() => void vi.restoreAllMocks())

  it('are those of the stream where an answer comes after it', async () => {
    const seats = new BenchSeats('g')
    let answer: (list: SeatList) => void = () => undefined
    vi.spyOn(seatsApi, 'approve').mockReturnValue(new Promise((resolve) => (answer = resolve)))
    const asked = seats.approve(request)
    seats.take({ ...none, sessions: [session] })
    answer(none)
    await asked
    expect(seats.list.sessions).toEqual([session])
  })
  it('are those of the answer where the stream said nothing', async () => {
    const seats = new BenchSeats('g')
    seats.take({ ...none, requests: [request] })
    vi.spyOn(seatsApi, 'refuse').mockResolvedValue(none)
    await seats.refuse(request)
    expect(seats.list).toEqual(none)
  })
  it('show an invite until it was used, and take the old one back for a new one', async () => {
    const seats = new BenchSeats('g')
    const open = (id: string): SeatList => ({ ...none, invites: [{ id, seat: 'clock', side: '', expires_ms: 1 }] })
    vi.spyOn(seatsApi, 'invite').mockResolvedValueOnce(invite).mockResolvedValueOnce({ ...invite, id: 'j' })
    vi.spyOn(seatsApi, 'list').mockResolvedValueOnce(open('i')).mockResolvedValueOnce(open('j'))
    const withdraw = vi.spyOn(seatsApi, 'withdraw').mockResolvedValue(none)
    await seats.invite({ seat: 'clock', side: '' })
    expect(seats.shown?.code).toBe('BCDF-GHJK')
    await seats.invite({ seat: 'clock', side: '' })
    expect(withdraw).toHaveBeenCalledWith('g', 'i')
    seats.take(open('j'))
    expect(seats.shown?.id).toBe('j')
    seats.take({ ...none, requests: [request] })
    expect(seats.shown).toBeNull()
  })
})

describe('invites', () => {
  afterEach(() => void vi.restoreAllMocks())

  it('stay open side by side, and the one that was used goes', async () => {
    const seats = new BenchSeats('g')
    const offers: Invite[] = (['clock', 'book', 'shots'] as const).map((seat, i) => ({ ...invite, id: String(i), seat }))
    const open: Invite[] = []
    vi.spyOn(seatsApi, 'invite').mockImplementation((_, role) => {
      const made = offers.find((one) => one.seat === role.seat) as Invite
      open.push(made)
      return Promise.resolve(made)
    })
    const withdraw = vi.spyOn(seatsApi, 'withdraw')
    vi.spyOn(seatsApi, 'list').mockImplementation(() => Promise.resolve({ ...none, invites: open.map((one) => ({ ...one, burnt: false })) }))
    for (const { seat } of offers) await seats.invite({ seat, side: '' })
    expect(seats.offers.map((one) => one.seat)).toEqual(['clock', 'book', 'shots'])
    expect(withdraw).not.toHaveBeenCalled()
    await seats.invite({ seat: 'clock', side: '' })
    expect([seats.shown?.id, seats.offers.length]).toEqual(['0', 3])
    seats.take({ ...none, invites: open.slice(1).map((one) => ({ ...one, burnt: false })) })
    expect(seats.offers.map((one) => one.seat)).toEqual(['book', 'shots'])
    expect(seats.shown?.seat).toBe('shots')
  })
})
