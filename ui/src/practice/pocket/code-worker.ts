// The thread that makes the bench ready to run, and then ends.
import type { FromCode } from './code'
import { Absent, compiled, type Program } from './compiled'

// Put here by the build. The bench is packed as what follows on the engine of practice, with which it shares
// most of its code.
declare const benchProgram: Program

const bench = self as unknown as { postMessage(message: FromCode, handed?: Transferable[]): void; close(): void }

void start()

async function start(): Promise<void> {
  try {
    const { module, data, kept } = await compiled(benchProgram)
    bench.postMessage({ module, data }, [data.buffer])
    await kept
  } catch (reason) {
    bench.postMessage({ failed: reason instanceof Absent ? 'absent' : 'broken', why: String(reason) })
  }
  bench.close()
}
