// The thread of a bench for real games. The build puts Go's wasm_exec.js before it.
import { openInDatabase } from './database'
import { ready } from './code'
import { print } from './press'
import type { Device } from '../devices/answer'
import type { FromBench, ToBench } from './talk'

declare class Go {
  importObject: WebAssembly.Imports
  run(instance: WebAssembly.Instance): Promise<void>
}

/** What the bench leaves behind when it runs (cmd/pocket). */
interface Bench {
  open(files: object[], language: string, texts: string, opened: (whyNot: string) => void): void
  ask(method: string, path: string, body: Uint8Array, device: Device | null, answered: (status: number, media: string, name: string, body: Uint8Array<ArrayBuffer>, paired: string, leaves: boolean) => void): void
  listen(game: string, view: string, device: Device | null, told: (event: string, data: string, id: string) => void): () => void
  beat(): string
  hub(): [address: string, secret: string]
}

declare global {
  var whistlestopBench: Bench | undefined
  var whistlestopReady: (() => void) | undefined
  var whistlestopAskHub: typeof askHub | undefined
  var whistlestopFace: typeof face | undefined
  var whistlestopPrint: ((order: Uint8Array<ArrayBuffer>, printed: (pdf: Uint8Array) => void, failed: (why: string) => void) => void) | undefined
}

interface Files extends FileSystemFileHandle {
  createSyncAccessHandle(): Promise<object>
}

const page = self as unknown as {
  onmessage: ((event: MessageEvent<ToBench>) => void) | null
  postMessage(message: FromBench, handed?: Transferable[]): void
}

const every = 2000 // milliseconds between two beats, as a bench across the network beats
const hubWithin = 20_000 // milliseconds that a hub may take
const patience = 5000 // for a window before that is just closing
// Two of each: what is written anew goes into the other one, which then counts.
const names = ['ledgers-1', 'ledgers-2', 'papers-1', 'papers-2', 'instant-1', 'instant-2']
const deaf = new Map<number, () => void>()
const faces = new Map<string, Blob>()
let beats: ReturnType<typeof setInterval> | undefined

page.onmessage = ({ data }) => {
  const bench = globalThis.whistlestopBench
  if ('texts' in data) {
    void start(data.language, data.texts)
  } else if ('beats' in data) {
    clearInterval(beats)
    beats = data.beats ? setInterval(() => page.postMessage({ beat: bench?.beat() ?? '' }), every) : undefined
  } else if ('hub' in data) {
    const [address = '', secret = ''] = bench?.hub() ?? []
    page.postMessage({ hub: data.hub, address, secret })
  } else if ('id' in data) {
    const { id, method, path, body, device } = data
    bench?.ask(method, path, body, device, (status, media, name, answer, paired, leaves) => page.postMessage({ id, status, media, name, body: answer, paired, leaves }, [answer.buffer]))
  } else if ('listen' in data) {
    const told = (event: string, text: string, lastEventId: string) => page.postMessage({ heard: data.listen, event, data: text, lastEventId })
    if (bench) deaf.set(data.listen, bench.listen(data.game, data.view, data.device, told))
  } else {
    deaf.get(data.deaf)?.()
    deaf.delete(data.deaf)
  }
}

/** Runs the bench until the window is closed. One window at a time has it. */
async function start(language: string, texts: string): Promise<void> {
  try {
    if (!(await alone())) return page.postMessage({ failed: 'open', why: '' })
    const files = await open().catch((reason: unknown) => page.postMessage({ failed: 'files', why: String(reason) }))
    if (!files) return
    const go = new Go()
    const instance = await ready(go.importObject)
    if ('failed' in instance) return page.postMessage(instance)
    globalThis.whistlestopAskHub = askHub
    globalThis.whistlestopFace = face
    globalThis.whistlestopPrint = (order, printed, failed) => {
      print({ order, language, texts, faces }).then(printed, (reason: Error) => failed(reason.message))
    }
    globalThis.whistlestopReady = () => {
      globalThis.whistlestopBench?.open(files, language, texts, (why) => {
        if (why !== '') return page.postMessage({ failed: 'broken', why })
        page.postMessage({ ready: true })
      })
    }
    await go.run(instance)
    page.postMessage({ stopped: true })
  } catch (reason) {
    page.postMessage({ failed: 'broken', why: String(reason) })
  }
}

/** Whether no other window of this browser has the games; from then on this one has them until it ends. */
function alone(): Promise<boolean> {
  return new Promise((resolve) => {
    const signal = AbortSignal.timeout(patience)
    navigator.locks
      .request('whistlestop.games', { signal }, () => {
        resolve(true)
        return new Promise(() => undefined)
      })
      .catch(() => resolve(false))
  })
}

/** Asks the hub that this site comes from, for the bench: the page's policy lets it ask no other server. */
function askHub(method: string, address: string, secret: string, body: Uint8Array<ArrayBuffer> | null, answered: (status: number, again: string, body: Uint8Array) => void, failed: (why: string) => void): void {
  const headers = { authorization: `Bearer ${secret}`, ...(body && { 'content-type': 'application/jsonl' }) }
  const asked = fetch(address, { method, headers, body, redirect: 'error', cache: 'no-store', credentials: 'omit', signal: AbortSignal.timeout(hubWithin) })
  asked
    .then(async (answer) => answered(answer.status, answer.headers.get('retry-after') ?? '', new Uint8Array(await answer.arrayBuffer())))
    .catch((reason: unknown) => failed(String(reason)))
}

/** Fetches a file with letters for the PDF, which the site has beside the bench; kept by the browser once it came. */
function face(name: string, came: () => void, failed: (why: string) => void): void {
  const fetched = async () => {
    const answer = await fetch(`faces/${name}`)
    if (!answer.ok) throw new Error(`${answer.status}`)
    faces.set(name, await answer.blob())
  }
  fetched().then(came, (reason: unknown) => failed(String(reason)))
}

/**
 * Opens the files of the games: handles of files, or the browser's database where it has none for a thread.
 * Games that began in the database stay there, also when a newer version of the browser has handles.
 */
async function open(): Promise<object[]> {
  const inDatabase = await openInDatabase(names).catch(() => undefined)
  if (inDatabase?.some((one) => one.getSize() > 0)) return inDatabase
  const folder = await folderOfFiles()
  if (!folder) {
    if (!inDatabase) throw new Error('neither files nor a database')
    return inDatabase
  }
  inDatabase?.[0]?.close()
  return Promise.all(names.map(async (name) => ((await folder.getFileHandle(name, { create: true })) as Files).createSyncAccessHandle()))
}

/** The folder of the files; undefined: this browser has none, or none for a thread. WebKitGTK has handles and no folder. */
async function folderOfFiles(): Promise<FileSystemDirectoryHandle | undefined> {
  if (typeof FileSystemFileHandle === 'undefined' || !('createSyncAccessHandle' in FileSystemFileHandle.prototype) || !('storage' in navigator)) return undefined
  const all = await navigator.storage.getDirectory().catch((reason: unknown) => {
    if (reason instanceof DOMException && reason.name === 'SecurityError') return undefined // some private windows
    throw reason
  })
  return all?.getDirectoryHandle('whistlestop', { create: true })
}
