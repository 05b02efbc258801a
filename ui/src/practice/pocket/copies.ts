import { network } from '../../base/transport/link'

/** A copy of a game that left this browser: up to which entry, when, and where it went. */
export interface Copied {
  seq: number
  at: number // milliseconds of Unix time
  folder: string // its name; empty: it was saved or shared by hand
}

const key = 'whistlestop.copied'

/** Which games were copied, as this browser remembers it; what it cannot read counts as nothing. */
function book(): Record<string, Copied> {
  try {
    return JSON.parse(localStorage.getItem(key) ?? '{}') as Record<string, Copied>
  } catch {
    return {}
  }
}

/** The newest copy of a game that is known. */
export function copyOf(game: string): Copied | undefined {
  return book()[game]
}

/** Notes that a game was copied. */
export function noteCopy(game: string, copied: Copied): void {
  try {
    localStorage.setItem(key, JSON.stringify({ ...book(), [game]: copied }))
  } catch {
    // A browser that keeps nothing: the copy is there all the same.
  }
}

/** A folder that the person chose, as far as browsers have that (File System Access, WICG). */
export interface Folder extends FileSystemDirectoryHandle {
  queryPermission(want: { mode: 'readwrite' }): Promise<PermissionState>
  requestPermission(want: { mode: 'readwrite' }): Promise<PermissionState>
}

/** Lets the person choose a folder; null where the browser has no such thing. */
export const choose: (() => Promise<Folder>) | null =
  'showDirectoryPicker' in window
    ? () => (window as unknown as { showDirectoryPicker(o: { mode: 'readwrite' }): Promise<Folder> }).showDirectoryPicker({ mode: 'readwrite' })
    : null

/** Writes the ledger of a game into a folder, beside what is there. Rejects where that cannot be done. */
export async function writeCopy(folder: Folder, game: string): Promise<void> {
  const answer = await network.fetch(`/games/${game}/ledger.jsonl`, {})
  if (!answer.ok) throw new Error('no ledger')
  const file = await folder.getFileHandle(`${game}.jsonl`, { create: true })
  const out = await file.createWritable() // written aside, and put in place when it is closed
  await out.write(await answer.blob())
  await out.close()
}

/** Remembers the folder over a restart of the browser. */
export async function rememberFolder(folder: Folder): Promise<void> {
  const shelf = await shelfOf('readwrite')
  await done(shelf.put(folder, 'folder'))
}

/** The folder that was chosen before; undefined: none. */
export async function rememberedFolder(): Promise<Folder | undefined> {
  return done((await shelfOf('readonly')).get('folder') as IDBRequest<Folder | undefined>)
}

async function shelfOf(mode: IDBTransactionMode): Promise<IDBObjectStore> {
  const open = indexedDB.open('whistlestop-folder', 1)
  open.onupgradeneeded = () => open.result.createObjectStore('chosen')
  return (await done(open)).transaction('chosen', mode).objectStore('chosen')
}

function done<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error ?? new Error('this browser keeps nothing'))
  })
}
