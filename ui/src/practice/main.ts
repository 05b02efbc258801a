import '../look/base.css'
import '../words/site'
import { mount } from 'svelte'
import { standInForStorage } from '../progress/held'
import { t } from '../words/words'
import App from './App.svelte'
import { startEngine } from './engine'
import { tookNewVersion } from './keep'

async function open(target: HTMLElement): Promise<void> {
  document.title = t('site.title')
  standInForStorage()
  if (await tookNewVersion()) return
  target.textContent = t('site.loading')
  const engine = await startEngine((loaded, of) => {
    const [part, all] = [loaded, of].map((bytes) => Math.round(bytes / 1000))
    target.textContent = t('site.loading.part', { part: part ?? 0, all: all ?? 0 })
  })
  target.textContent = ''
  mount(App, { target, props: { engine } })
}

const target = document.getElementById('app')
if (target) {
  void open(target).catch((reason: unknown) => {
    target.textContent = reason instanceof Error ? reason.message : String(reason)
  })
}
