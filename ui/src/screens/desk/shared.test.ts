import { describe, expect, it } from 'vitest'
import { mailLink, smsLink } from '../../base/transport/crew'
import { later } from './shared'

describe('days of the desk', () => {
  it('counts over months and years', () => {
    expect(later('2026-12-30', 3)).toBe('2027-01-02')
    expect(later('2027-03-01', -1)).toBe('2027-02-28')
  })
})

describe('links of a message', () => {
  const message = { reach: 'maren@harbour.example', subject: 'The bench, 2026-10-03', text: 'Hello Maren,\nYes: 2345-6789 + more' }
  it('opens a mail program with ends of lines as the standard has them', () => {
    const link = new URL(mailLink(message))
    expect(link.pathname).toBe('maren%40harbour.example')
    expect(link.searchParams.get('subject')).toBe(message.subject)
    expect(link.search).toContain('%0D%0AYes%3A%202345-6789%20%2B%20more')
    expect(smsLink(message)).toBe('')
  })
  it('opens messages with a number as it is dialled', () => {
    expect(smsLink({ reach: '+47 555 01 23', text: 'a b' })).toBe('sms:+475550123?body=a%20b')
    expect(mailLink({ ...message, reach: '+47 555 01 23' })).toMatch(/^mailto:\?subject=/)
  })
})
