import { language } from '../base/words/words'
import { languageFile } from './languages'

/** The browser can keep the site for use without a network: by https or on this computer, not from a folder. */
function able(): boolean {
  return location.protocol !== 'file:' && 'serviceWorker' in navigator
}

const patience = 3000 // milliseconds for a new version to take over

/**
 * Takes a new version of the site that came in the background at the last visit. The page is then loaded
 * again, and true returned: there is nothing else to do. To be asked before anything is started, so that
 * a page never has parts of two versions.
 */
export async function tookNewVersion(): Promise<boolean> {
  if (!able() || !navigator.serviceWorker.controller) return false
  const next = (await navigator.serviceWorker.getRegistration())?.waiting
  if (!next) return false
  const changed = new Promise<boolean>((resolve) => {
    navigator.serviceWorker.addEventListener('controllerchange', () => resolve(true), { once: true })
    setTimeout(() => resolve(false), patience)
  })
  next.postMessage('take over')
  if (!(await changed)) return false
  location.reload()
  return true
}

/** Keeps the site in this browser. Returns whether it is kept, which can take as long as loading it took. */
export async function keepSite(): Promise<boolean> {
  if (!able()) return false
  const manifest = document.createElement('link')
  manifest.rel = 'manifest'
  manifest.href = 'practice.webmanifest' // named here, because a page from a folder may not read it
  document.head.append(manifest)
  const kept = await register()
  // The site is kept without languages: this one is asked for through what keeps it.
  if (kept && language() !== 'en') void fetch(languageFile(language())).catch(() => undefined)
  if (kept) document.documentElement.dataset['kept'] = 'true'
  return kept
}

/** Keeps the bench for real games too, which only those load who run one. Returns whether it is kept. */
export async function keepBench(): Promise<boolean> {
  if (!able() || !(await register())) return false
  const all = await Promise.all(['bench.rest', 'bench-worker.js', 'bench-code.js', 'press.rest', 'press-worker.js'].map((name) => fetch(name).catch(() => undefined)))
  return all.every((one) => one?.ok)
}

async function register(): Promise<boolean> {
  try {
    const { installing } = await navigator.serviceWorker.register('sw.js', { updateViaCache: 'none' })
    // With a controller there is a version that works; a newer one is for the next start.
    if (!installing || navigator.serviceWorker.controller) return Boolean(await navigator.serviceWorker.ready)
    return await installed(installing)
  } catch {
    return false // a private window, or a browser that keeps nothing: practice works without
  }
}

function installed(worker: ServiceWorker): Promise<boolean> {
  return new Promise((resolve) => {
    const look = () => {
      if (worker.state === 'activated') resolve(true)
      if (worker.state === 'redundant') resolve(false) // a file did not come, or came as another
    }
    worker.addEventListener('statechange', look)
    look()
  })
}
