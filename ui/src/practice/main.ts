import '../base/look/base.css'
import '../base/look/pages.css'
import '../base/words/site'
import { mount } from 'svelte'
import { feelPresses } from '../base/sound/touch'
import { standInForStorage } from './progress/held'
import { openLanguage } from '../base/words/language'
import { t } from '../base/words/words'
import { languages } from './languages'
import { tookNewVersion } from './keep'
import App from './App.svelte'

async function open(target: HTMLElement): Promise<void> {
  standInForStorage()
  // Before anything else: a page never has parts of two versions.
  // A real game goes on with the version that it was opened with.
  if (!/^#(game|wall)\//.test(location.hash) && await tookNewVersion().catch(() => false)) return
  await openLanguage(languages)
  document.title = t('site.title')
  mount(App, { target })
}

feelPresses()
const target = document.getElementById('app')
if (target) void open(target)
