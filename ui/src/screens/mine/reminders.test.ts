import { expect, test } from 'vitest'
import { bytesOf, hindrance, idOf } from './reminders'

test('a device has the name that the desk gives it', async () => {
  expect(await idOf('https://push.example/phone')).toBe('472fd619a13d1dbf') // by sha256sum
})

test('a key is read without padding and with the signs of addresses', () => {
  expect([...bytesOf('-_8')]).toEqual([0xfb, 0xff])
})

test('a page that cannot be kept apart from others says so first', () => {
  expect(hindrance()).toBe('unsafe') // this test runs in no page
})
