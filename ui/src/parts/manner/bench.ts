import type { Bench, BenchSetBody } from '../../base/contract/contract'

/** How the bench works, with a change: an entry says all of it, so that nothing is lost by changing one thing. */
export function benchWith(bench: Bench, change: Partial<BenchSetBody>): BenchSetBody {
  return {
    clock: bench.clock,
    confirm_box: bench.confirm_box,
    wait_for_ticks: bench.wait_for_ticks,
    names: bench.names,
    on_ice: bench.on_ice,
    face_offs: bench.face_offs,
    slot_end_ms: bench.slot_end_ms ?? 0,
    ...change,
  }
}
