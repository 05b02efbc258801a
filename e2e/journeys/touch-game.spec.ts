import { test } from '../harness/fixtures.ts'
import { gameBesideABoard, wholeGame } from '../harness/touch-games.ts'

// Whole games by touch alone, on a phone: the program's own clock to the sealed report, and beside a
// rink's own board.

test.use({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true })

test('a whole game by touch alone, to the sealed report', async ({ bench, wall }) => wholeGame(bench, wall))

test('a phone beside the rink\'s own board, whose clock is official', async ({ bench }) => gameBesideABoard(bench))
