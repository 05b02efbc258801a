import { expect } from '@playwright/test'
import type { Bench } from './bench.ts'
import type { Hooked } from './hooked.ts'

/**
 * The bench and the Clock phone answer the same whistle, one after the other: the clock stands. `running`
 * tells whether the clock of the bench itself runs.
 */
export async function twoAtOneWhistle(bench: Bench, phone: Pick<Hooked, 'at'>, running: () => Promise<boolean>): Promise<void> {
  const onBench = bench.at('clock-control')
  const onPhone = phone.at('clock-control')
  for (const [first, second, crossed, apart] of [
    [onBench, onPhone, phone.at('crossed'), 300],
    [onPhone, onBench, bench.at('crossed'), 300],
    [onBench, onPhone, phone.at('crossed'), 1500],
    [onBench, onPhone, phone.at('crossed'), 0],
  ] as const) {
    for (let late = true, tries = 0; late; tries++) {
      expect(tries, 'the machine is too busy to press twice within a whistle').toBeLessThan(6)
      await bench.page.waitForTimeout(3000) // whoever stopped play before has had time to look up
      if ((await onBench.getAttribute('data-running')) === 'false') await first.dispatchEvent('pointerdown', { button: 0 })
      await expect(onBench).toHaveAttribute('data-running', 'true')
      await expect(onPhone).toHaveAttribute('data-running', 'true')
      await bench.page.waitForTimeout(3000)
      const begun = Date.now()
      if (apart === 0) {
        await Promise.all([first, second].map((one) => one.dispatchEvent('pointerdown', { button: 0 })))
      } else {
        await first.dispatchEvent('pointerdown', { button: 0 })
        await bench.page.waitForTimeout(apart)
        await second.dispatchEvent('pointerdown', { button: 0 })
      }
      // On a busy machine the second press may come when a whistle is long over: another matter.
      late = Date.now() - begun > 2200
    }
    if (apart > 0) await expect(crossed).toContainText(/stopped the clock.*To start it, press again/)
    await expect(onBench).toHaveAttribute('data-running', 'false')
    await expect(onPhone).toHaveAttribute('data-running', 'false')
    await expect.poll(running).toBe(false)
  }
}
