import { expect, test } from 'vitest'
import { formOf, t } from './words'
import './seat'

test('a number chooses the form of a text', () => {
  const texts = { post: '{n} posts wait.', 'post#n=one': 'One post waits.' }
  expect([0, 1, 2, '1', 'some'].map((n) => formOf(texts, 'post', { n }))).toEqual([
    texts.post, texts['post#n=one'], texts.post, texts['post#n=one'], texts.post,
  ])
  expect(formOf(texts, 'post')).toBe(texts.post)
  expect(formOf(texts, 'nobody', { n: 1 })).toBeUndefined()
  expect([t('pending.kept', { count: 1 }), t('pending.kept', { count: 3 })]).toEqual([
    '1 entry kept here: not at the bench yet', '3 entries kept here: not at the bench yet',
  ])
})
