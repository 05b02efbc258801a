import { runsAt } from '../harness/behind.ts'
import { twoAtOneWhistle } from '../harness/one-whistle.ts'
import { Phone } from '../harness/phone.ts'
import { test } from '../harness/rink.ts'

test('two people stop the clock at one whistle: it stands', async ({ browser, program, bench, game }) => {
  const phone = await Phone.seated(browser, program, bench, { seat: 'clock' }, 'Clock phone')
  await bench.begin('1st period')
  await twoAtOneWhistle(bench, phone, () => runsAt(program, game))
})
