// Keeps the practice site in the browser, so that it opens without a network. The
// build puts the list of files before it: a new list is a new version. A version is
// kept whole or not at all, and each file is held against its checksum.

declare const site: {
  version: string
  files: Record<string, string> // the name ('' for the page) to its SHA-256
  asked: Record<string, string> // the same for files that are kept once a page asked for them: languages
}

interface Lasting extends Event {
  waitUntil(work: Promise<unknown>): void
}

interface Asked extends Event {
  request: Request
  respondWith(answer: Promise<Response>): void
}

interface Scope {
  registration: ServiceWorkerRegistration
  clients: { claim(): Promise<void> }
  skipWaiting(): Promise<void>
  addEventListener(type: 'install' | 'activate', act: (event: Lasting) => void): void
  addEventListener(type: 'fetch', act: (event: Asked) => void): void
  addEventListener(type: 'message', act: (event: MessageEvent<string>) => void): void
}

const scope = self as unknown as Scope
const folder = scope.registration.scope
// One host may have several copies of the site, in several folders.
const family = `whistlestop-practice ${folder} `
const shelf = family + site.version

scope.addEventListener('install', (event) => event.waitUntil(fill()))

scope.addEventListener('activate', (event) => event.waitUntil(moveIn()))

scope.addEventListener('message', (event) => {
  if (event.data === 'take over') void scope.skipWaiting()
})

scope.addEventListener('fetch', (event) => {
  const { method, url } = event.request
  const address = new URL(url)
  address.search = address.hash = ''
  if (method !== 'GET' || !address.href.startsWith(folder)) return
  const name = address.href.slice(folder.length).replace(/^index\.html$/, '')
  if (name in site.files) event.respondWith(answer(event.request, name))
  else if (name in site.asked) event.respondWith(answerAsked(event.request, name))
})

async function answer(request: Request, name: string): Promise<Response> {
  const kept = await (await caches.open(shelf)).match(folder + name)
  return kept ?? fetch(request)
}

async function answerAsked(request: Request, name: string): Promise<Response> {
  const cache = await caches.open(shelf)
  const kept = await cache.match(folder + name)
  if (kept) return kept
  const found = await right(folder + name, site.asked[name] ?? '').catch(() => undefined)
  if (!found) return fetch(request)
  await cache.put(folder + name, found.clone())
  return found
}

async function fill(): Promise<void> {
  const cache = await caches.open(shelf)
  // A language that an older version kept is kept on.
  const older = await Promise.all(Object.entries(site.asked).map(async (one) => ((await caches.match(folder + one[0])) ? [one] : [])))
  const all = [...Object.entries(site.files), ...older.flat()]
  await Promise.all(all.map(async ([name, known]) => cache.put(folder + name, await right(folder + name, known))))
}

/** A file with the right content: from an older version, as the browser has it, or from the host. */
async function right(address: string, known: string): Promise<Response> {
  for (const read of [
    () => caches.match(address),
    () => fetch(address),
    () => fetch(address, { cache: 'reload' }),
  ]) {
    const found = await read()
    if (!found?.ok) continue
    const bytes = await found.arrayBuffer()
    // Made anew: what was packed on the way is not any more, and a page may not come by a detour.
    const headers = new Headers(found.headers)
    for (const name of ['Content-Encoding', 'Content-Length']) headers.delete(name)
    if ((await sum(bytes)) === known) return new Response(bytes, { headers })
  }
  throw new Error(`${address} is not the file that belongs to this version`)
}

async function sum(bytes: ArrayBuffer): Promise<string> {
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('')
}

/** The first version takes the open page over at once; a later one waits until a page asks for it. */
async function moveIn(): Promise<void> {
  const old = (await caches.keys()).filter((name) => name.startsWith(family) && name !== shelf)
  await Promise.all(old.map((name) => caches.delete(name)))
  await scope.clients.claim()
}
