// Files in the browser's database, for browsers whose threads have no handles of files (before 2023, some
// private windows). To the bench they are the same: it writes, flushes, and answers then.

const table = 'pieces'
const pieceLength = 1 << 16 // bytes; what a post changes is one or two of them
const lengthKey = -1 // of a file: how long it is; its pieces are 0, 1, 2 ...

/** One file: all of it in memory, and what was flushed in the database. */
class DatabaseFile {
  private changed = new Set<number>()

  constructor(private readonly database: IDBDatabase, private readonly name: string, private content: Uint8Array<ArrayBuffer>, private length: number) {}

  getSize(): number {
    return this.length
  }

  read(into: Uint8Array, { at }: { at: number }): number {
    const part = this.content.subarray(at, Math.min(this.length, at + into.length))
    into.set(part)
    return part.length
  }

  write(part: Uint8Array, { at }: { at: number }): number {
    this.stretch(Math.max(this.length, at + part.length))
    this.content.set(part, at)
    this.change(at, at + part.length)
    return part.length
  }

  truncate(length: number): void {
    const before = this.length
    this.stretch(length)
    this.content.fill(0, length, Math.max(before, length)) // as a file has zeros where it grows again
    this.change(length, before)
  }

  /** Resolves when the database says that all of it is on the disk: one transaction, all or nothing. */
  flush(): Promise<void> {
    const pieces = [...this.changed]
    return new Promise((resolve, reject) => {
      const work = this.database.transaction(table, 'readwrite', { durability: 'strict' })
      work.oncomplete = () => {
        for (const piece of pieces) this.changed.delete(piece)
        resolve()
      }
      work.onabort = () => reject(work.error ?? new DOMException('the browser did not keep it', 'AbortError'))
      try {
        const all = work.objectStore(table)
        for (const piece of pieces) {
          const from = piece * pieceLength
          if (from < this.length) all.put(this.content.slice(from, Math.min(this.length, from + pieceLength)), [this.name, piece])
          else all.delete([this.name, piece])
        }
        all.put(this.length, [this.name, lengthKey])
      } catch (reason) {
        work.abort()
        throw reason
      }
    })
  }

  close(): void {
    this.database.close()
  }

  /** Makes the file so long, in memory. */
  private stretch(length: number): void {
    if (length > this.content.length) {
      const more = new Uint8Array(Math.max(length, 2 * this.content.length, pieceLength))
      more.set(this.content)
      this.content = more
    }
    if (length > this.length) this.change(this.length, length)
    this.length = length
  }

  private change(from: number, to: number): void {
    for (let piece = Math.floor(from / pieceLength); piece * pieceLength < to; piece++) this.changed.add(piece)
  }
}

function answerOf<T>(request: IDBRequest<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result)
    request.onerror = () => reject(request.error ?? new Error('the database did not answer'))
  })
}

/** Opens files in the database; those that are not there yet are empty. */
export async function openInDatabase(names: string[]): Promise<DatabaseFile[]> {
  const request = indexedDB.open('whistlestop-games', 1)
  request.onupgradeneeded = () => request.result.createObjectStore(table)
  const database = await answerOf(request)
  return Promise.all(names.map((name) => openFile(database, name)))
}

async function openFile(database: IDBDatabase, name: string): Promise<DatabaseFile> {
  const all = database.transaction(table).objectStore(table)
  const [length, pieces] = await Promise.all([
    answerOf(all.get([name, lengthKey]) as IDBRequest<number | undefined>),
    answerOf(all.getAll(IDBKeyRange.bound([name, 0], [name, Infinity])) as IDBRequest<Uint8Array[]>),
  ])
  const content = new Uint8Array(pieces.length * pieceLength)
  pieces.forEach((piece, i) => content.set(piece, i * pieceLength))
  return new DatabaseFile(database, name, content, length ?? 0)
}
