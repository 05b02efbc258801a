import { describe, expect, it } from 'vitest'
import { cutPicture, joinPicture } from './picture'
import { linkOf, textOf } from './link'
import { shifted, spanned } from './rectangle'

describe('a card in a link', () => {
  it('comes back as it was', async () => {
    const text = 'id = "saltworks"\nrink = "Saltworks Arena, où il fait froid"\n'.repeat(40)
    const link = await linkOf(text)
    expect(link).toMatch(/^#card\/[\w-]+$/)
    expect(link.length).toBeLessThan(text.length / 4)
    expect(await textOf(link.slice('#card/'.length))).toBe(text)
  })
  it('is refused where it is none, or would fill the memory', async () => {
    const bomb = (await linkOf('\0'.repeat(20_000_000))).slice('#card/'.length)
    expect(bomb.length).toBeLessThan(40_000)
    for (const bad of ['???', 'AAAA', bomb]) await expect(textOf(bad)).rejects.toThrow()
  })
})

describe('the picture of a card', () => {
  it('stands at the end of its file, and the text stays what it was', () => {
    const picture = '/9j/'.repeat(100)
    const file = joinPicture('id = "x"\n', picture)
    expect(file.split('\n').every((line) => line.length < 120)).toBe(true)
    expect(cutPicture(file)).toEqual({ text: 'id = "x"\n', picture })
    expect(cutPicture('id = "x"\n')).toEqual({ text: 'id = "x"\n', picture: '' })
    expect(joinPicture('id = "x"\n', '')).toBe('id = "x"\n')
  })
  it('has marks that stay on it', () => {
    expect(spanned('bell', { x: 300, y: 500 }, { x: 100, y: 200 })).toEqual({ key: 'bell', x: 100, y: 200, width: 200, height: 300 })
    expect(spanned('', { x: 995, y: -5 }, { x: 1005, y: 1 })).toEqual({ x: 990, y: 0, width: 10, height: 10 })
    const mark = { key: 'bell', x: 100, y: 200, width: 200, height: 300 }
    expect(shifted(mark, { x: -500, y: 5000 })).toEqual({ ...mark, x: 0, y: 700 })
    expect(shifted(mark, { width: -500, height: 2 })).toEqual({ ...mark, width: 10, height: 302 })
  })
})
