/** Where copies of ledgers stay: IndexedDB, or a stand-in. A copy has a name; one game may have several. */
export interface CopyShelf {
  /** The lines of a copy, oldest first. */
  read: (copy: string) => Promise<string[]>
  /** Adds lines after the first `from` ones. */
  add: (copy: string, from: number, lines: string[]) => Promise<void>
  /** Gives a copy another name, so that the old one is free. */
  rename: (copy: string, to: string) => Promise<void>
  remove: (copy: string) => Promise<void>
  /** All copies with the instant at which each last grew, milliseconds of Unix time. */
  list: () => Promise<{ copy: string; grew: number }[]>
}

const database = 'whistlestop'
const lines = 'lines'
const copies = 'copies'

/** Copies in the browser's database. Each call rejects where the browser has none, as in a private window. */
export function browserShelf(): CopyShelf {
  let opened: Promise<IDBDatabase> | undefined
  const base = () => (opened ??= open())
  const range = (copy: string) => IDBKeyRange.bound([copy, 0], [copy, Number.MAX_SAFE_INTEGER])
  const write = async (act: (lines: IDBObjectStore, copies: IDBObjectStore) => void | Promise<void>) => {
    const change = (await base()).transaction([lines, copies], 'readwrite')
    const end = done(change)
    await act(change.objectStore(lines), change.objectStore(copies))
    await end
  }
  const read = async (copy: string) => {
    const store = (await base()).transaction(lines).objectStore(lines)
    return answer<string[]>(store.getAll(range(copy)))
  }
  return {
    read,
    add: (copy, from, more) =>
      write((store, list) => {
        more.forEach((line, i) => store.put(line, [copy, from + i]))
        list.put(Date.now(), copy)
      }),
    rename: async (copy, to) => {
      const all = await read(copy)
      await write((store, list) => {
        all.forEach((line, i) => store.put(line, [to, i]))
        store.delete(range(copy))
        list.put(Date.now(), to)
        list.delete(copy)
      })
    },
    remove: (copy) =>
      write((store, list) => {
        store.delete(range(copy))
        list.delete(copy)
      }),
    list: async () => {
      const store = (await base()).transaction(copies).objectStore(copies)
      const [names, grew] = await Promise.all([answer(store.getAllKeys()), answer<number[]>(store.getAll())])
      return names.map((name, i) => ({ copy: String(name), grew: grew[i] ?? 0 }))
    },
  }
}

function open(): Promise<IDBDatabase> {
  const request = indexedDB.open(database, 1)
  request.onupgradeneeded = () => {
    request.result.createObjectStore(lines)
    request.result.createObjectStore(copies)
  }
  return answer(request)
}

function answer<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error ?? new Error('the browser keeps nothing'))
  })
}

function done(change: IDBTransaction): Promise<void> {
  return new Promise((resolve, reject) => {
    change.oncomplete = () => resolve()
    change.onabort = change.onerror = () => reject(change.error ?? new Error('the browser keeps nothing'))
  })
}
