/** What a field of the form takes. */
type FieldKind = 'text' | 'number' | 'day' | 'time' | 'yes' | 'list' | 'choice' | 'some' | 'numbers' | 'pairs' | 'spans'

/** A field of the league file's form. */
export interface Field {
  key: string
  kind: FieldKind
  choices?: string[]
  /** Under which of season.form's words the choices are: a, unless said. */
  words?: 'a' | 'f' | 'i' | 'k' | 's'
}

interface Span { from: string; to?: string; why: string }

/** A setting of the file, which is JSON, as a person types it. */
export function written(kind: FieldKind, raw: string): string {
  if (raw === '') return ''
  const value: unknown = JSON.parse(raw)
  if (kind === 'pairs') return Object.entries(value as Record<string, number>).map(([name, number]) => `${name} ${number}`).join(', ')
  if (kind === 'spans') return (value as Span[]).map((one) => [one.from, one.to, one.why].filter(Boolean).join(' ')).join('\n')
  return Array.isArray(value) ? value.join(', ') : String(value)
}

/** A time of day as the files write it, 18:30, however somebody types it: 18.30, 1830, 6:30 pm. What is none stays as it is. */
export function clockTime(text: string): string {
  const [, hours = '', minutes = '00', half = ''] = /^\s*(\d{1,2})(?:[:.h]?(\d{2}))?\s*([ap])?\.?(?:m\.?)?\s*$/i.exec(text) ?? []
  const on = half === '' ? Number(hours) : (Number(hours) % 12) + (half.toLowerCase() === 'p' ? 12 : 0)
  if (hours === '' || on > 23 || Number(minutes) > 59 || (half !== '' && Number(hours) > 12)) return text.trim()
  return `${String(on).padStart(2, '0')}:${minutes}`
}

/** What a person typed as JSON; empty for nothing. What cannot be read is passed on, so that the file says what is wrong. */
export function read(kind: FieldKind, text: string): string {
  const trimmed = text.trim()
  if (trimmed === '') return ''
  const parts = trimmed.split(',').map((one) => one.trim()).filter((one) => one !== '')
  switch (kind) {
    case 'number': return /^-?\d+$/.test(trimmed) ? String(Number(trimmed)) : JSON.stringify(trimmed)
    case 'time': return JSON.stringify(clockTime(trimmed))
    case 'yes': return trimmed === 'true' ? 'true' : 'false'
    case 'numbers': return parts.length === 0 ? '' : JSON.stringify(parts.map((one) => (/^-?\d+$/.test(one) ? Number(one) : one)))
    case 'list': case 'some': return parts.length === 0 ? '' : JSON.stringify(parts)
    case 'pairs': return JSON.stringify(Object.fromEntries(parts.map((one) => {
      const [, name = one, number = ''] = /^(\S+?)[\s:=]+(\d+)$/.exec(one) ?? []
      return [name, number === '' ? '' : Number(number)]
    })))
    case 'spans': return JSON.stringify(trimmed.split('\n').filter((one) => one.trim() !== '').map((one) => {
      const [, from = one.trim(), to = '', why = ''] = /^\s*([\d-]{8,})[\s,]*([\d-]{8,})?[\s,]*(.*?)\s*$/.exec(one) ?? []
      return { from, ...(to === '' ? {} : { to }), why }
    }))
    default: return JSON.stringify(trimmed)
  }
}
