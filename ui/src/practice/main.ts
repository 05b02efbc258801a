import '../base/look/base.css'
import '../base/look/pages.css'
import '../base/words/site'
import { mount } from 'svelte'
import { standInForStorage } from './progress/held'
import { t } from '../base/words/words'
import { tookNewVersion } from './keep'
import Opening from './Opening.svelte'

async function open(target: HTMLElement): Promise<void> {
  document.title = t('site.title')
  standInForStorage()
  // Before anything else: a page never has parts of two versions.
  if (await tookNewVersion().catch(() => false)) return
  mount(Opening, { target })
}

const target = document.getElementById('app')
if (target) void open(target)
