import { expect, test } from 'vitest'

const files = import.meta.glob<string>('/src/**/*.svelte', { query: '?raw', import: 'default', eager: true })

// A part that each component made for itself would be remembered with each, and with it all that the component holds.
test('parts that come later are made once for a file', () => {
  const users = Object.entries(files).filter(([, text]) => text.includes("later/part.svelte'"))
  expect(users.length).toBeGreaterThan(5)
  for (const [file, text] of users) {
    const [module = '', rest = ''] = text.split('</script>', 2)
    expect(module, file).toContain('<script lang="ts" module>')
    expect(rest, file).not.toMatch(/[^\w]later\(/)
  }
})
