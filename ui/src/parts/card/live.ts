import type { BoardLine, BoardReading, BoardSide, RinkCardView } from '../../base/contract/contract'
import { elapsedText, leftText } from '../../base/words/format'

/** Where the bench's clock stands in this frame, milliseconds. */
interface Frame {
  abs: number // on the axis of play
  elapsed: number // on the clock of the stage
  left: number
}

/**
 * What the board should read in this frame. The bench says it for the instant
 * of its newest entry; its clock and the lines that run go on from there.
 */
export function liveReading(view: RinkCardView, frame: Frame): BoardReading {
  const { board, type } = view
  const run = (line: BoardLine): BoardLine => {
    // One that waits does not run.
    if (line.why === 'waits' || line.why === 'after') return line
    const left = Math.max(0, line.end_abs_ms - frame.abs)
    return { ...line, left_ms: left, left: leftText(left) }
  }
  const still = (lines: BoardLine[]) => lines.map(run).filter((line) => line.left_ms > 0)
  const side = ({ lines, beside }: BoardSide): BoardSide => ({ lines: still(lines), beside: still(beside) })
  return {
    ...board,
    clock: board.clock === '' ? '' : type.counts_down ? leftText(frame.left) : elapsedText(frame.elapsed),
    sides: [side(board.sides[0]), side(board.sides[1])],
  }
}
