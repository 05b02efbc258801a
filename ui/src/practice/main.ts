import '../look/base.css'
import '../words/site'
import type { Scripts } from '../contract/contract'
import { t } from '../words/words'
import { startEngine } from './engine'
import { keepSite, tookNewVersion } from './keep'

async function open(target: HTMLElement): Promise<void> {
  document.title = t('site.title')
  if (await tookNewVersion()) return
  target.textContent = t('site.loading')
  const engine = await startEngine((loaded, of) => {
    const [part, all] = [loaded, of].map((bytes) => Math.round(bytes / 1000))
    target.textContent = t('site.loading.part', { part: part ?? 0, all: all ?? 0 })
  })
  const { body } = await engine.call('GET', '/practice/scripts', '', 0)
  const list = document.createElement('ol')
  list.append(...(JSON.parse(body) as Scripts).scripts.map((script) => {
    const row = document.createElement('li')
    row.textContent = script.title
    return row
  }))
  target.replaceChildren(list)
  if (await keepSite()) list.after(t('site.kept'))
}

const target = document.getElementById('app')
if (target) {
  void open(target).catch((reason: unknown) => {
    target.textContent = reason instanceof Error ? reason.message : String(reason)
  })
}
