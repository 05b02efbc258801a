import { expect, type Page } from '@playwright/test'
import { test } from '../harness/fixtures.ts'
import { beyond, violations } from '../harness/access.ts'
import { ask, day, type Duty, file, league, nextSeason, rota, withRota } from '../harness/desk.ts'
import { Phone } from '../harness/phone.ts'
import { Program } from '../harness/program.ts'

async function looks(page: Page, name: string) {
  for (const [size, width, height] of [['small', 360, 640], ['phone', 390, 844], ['laptop', 1366, 768]] as const) {
    await page.setViewportSize({ width, height })
    await page.screenshot({ path: `test-results/desk-${name}-${size}.png` })
    expect(await beyond(page), `${name} on a ${size}`).toBeLessThanOrEqual(0)
  }
  for (const scheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme: scheme })
    expect(await violations(page), `${name}, ${scheme}`).toEqual([])
  }
}

const at = (page: Page, name: string) => page.locator(`[data-desk="${name}"]`)

test('a coordinator at the desk, from the list of people to who came', async ({ page }) => {
  const program = await Program.desk()
  const turn = async (name: string) => {
    await at(page, `to-${name}`).click()
    await expect(at(page, 'page')).toHaveAttribute('data-page', name)
  }
  const cell = (one: Duty) => page.locator(`[data-desk=game][data-game="${one.game}"] [data-seat="${one.seat}"]`)
  try {
    await league(program)
    await page.goto(`${program.origin}/desk`)
    await expect(at(page, 'counts')).toContainText('0 people')

    await test.step('C1 two hundred people in one paste, each mistake by its line, nothing twice, a family joined', async () => {
      const known = (await file('harbour-people.csv')).trimEnd().split('\n')
      const more = Array.from({ length: 190 }, (_, i) => `Helper ${i + 1},Family ${(i >> 1) + 1},,${i % 3 ? 'ready' : 'guide'},ready,,ready,,,,,,,,,`)
      more[50] = more[50]!.replace(',ready,ready,', ',perhaps,ready,')
      await at(page, 'list').fill([...known, ...more, more[10]!].join('\n'))
      await at(page, 'look').click()
      await expect(at(page, 'said')).toContainText('200 people are new')
      await expect(page.locator('[data-desk=findings] [data-line="62"]')).toContainText('perhaps')
      await expect(page.locator('[data-desk=findings] li')).toHaveCount(2)
      await at(page, 'add').click()
      await expect(at(page, 'counts')).toContainText('200 people')
      await at(page, 'add').click()
      await expect(at(page, 'said')).toContainText('0 people are new')
      await at(page, 'find').fill('Odin Moe')
      await page.locator('[data-name="Odin Moe"] button').click()
      await at(page, 'person-family').fill('Strand')
      await at(page, 'person-reach').fill('+47 555 01 23')
      await looks(page, 'person')
      await at(page, 'person-keep').click()
      await expect(page.locator('[data-name="Odin Moe"]')).toContainText('Strand')
    })

    await test.step('the rules are a form: who may sit where', async () => {
      await turn('rules')
      await expect(at(page, 'proposed')).toBeVisible()
      await page.locator('[data-seat=clock] [data-desk=rule-before]').fill('20')
      await at(page, 'rules-keep').click()
      await expect(at(page, 'rules-said')).toHaveText('Kept.')
      await looks(page, 'rules')
    })

    await test.step('C4 half a year on one screen, before anybody is asked', async () => {
      await turn('missing')
      await expect(at(page, 'week')).toHaveCount(26)
      await page.setViewportSize({ width: 1366, height: 768 })
      const last = await at(page, 'week').last().boundingBox()
      expect((last?.y ?? 0) + (last?.height ?? 0)).toBeLessThanOrEqual(768)
      await looks(page, 'missing')
    })

    await test.step('C5 C7 a rota for four weeks, how good it is, and the rest anew around what is locked', async () => {
      await turn('rota')
      await at(page, 'from').fill(day(1))
      await at(page, 'search').selectOption('short')
      await at(page, 'make').click()
      await expect(at(page, 'good')).toContainText(/best possible|no better rota/)
      const one = (await rota(program)).find((duty) => duty.name !== '')!
      await cell(one).click()
      await at(page, 'lock').click()
      await expect(at(page, 'lock')).toHaveText('Unlock')
      await page.locator('[data-bench=desk-seat-close]').click()
      await at(page, 'fresh').check()
      await at(page, 'seed').fill('7')
      await at(page, 'make').click()
      await expect(at(page, 'made')).toContainText('seats')
      await expect(cell(one)).toHaveAttribute('data-person', one.name)
      await looks(page, 'rota')
    })

    await test.step('C13 somebody new has a first duty within four weeks, beside a guide', async () => {
      await turn('people')
      await at(page, 'list').fill(`name,clock,book,new since\nAstri Nyberg,ready,ready,${day(-3)}`)
      await at(page, 'add').click()
      await expect(at(page, 'said')).toContainText('1 person is new')
      const astri = page.locator('[data-desk=newcomer][data-name="Astri Nyberg"]')
      await turn('missing')
      await expect(astri).toContainText('No duty yet')
      await turn('rota')
      await at(page, 'search').selectOption('short')
      await at(page, 'make').click()
      await expect(at(page, 'made')).toContainText('seats')
      await turn('missing')
      await expect(astri).toHaveAttribute('data-placed', 'true')
      await expect(astri).toContainText('First duty beside')
      // It is taken away: the desk proposes seats beside a guide, and one tap gives one.
      for (const one of (await rota(program)).filter((duty) => duty.name === 'Astri Nyberg')) await ask(program, `/crew/seats/${one.game}/${one.seat}`, { act: 'clear' })
      await page.reload()
      await expect(astri).toHaveAttribute('data-placed', 'false')
      await looks(page, 'newcomer')
      await astri.locator('[data-desk=first]').first().click()
      await expect(astri).toHaveAttribute('data-placed', 'true')
      await turn('rota')
    })

    await test.step('C6 why this person, why not another', async () => {
      const one = (await rota(program)).find((duty) => duty.name !== '')!
      await cell(one).click()
      await expect(at(page, 'why')).toContainText(`${one.name} sits here`)
      await at(page, 'why-not').selectOption({ label: 'Eskil Berg' })
      await expect(at(page, 'why-other')).toContainText('Eskil Berg is not here: ')
      await looks(page, 'seat')
      await page.locator('[data-bench=desk-seat-close]').click()
    })

    await test.step('C8 everybody hears their own, the team sees its seats, the wall has no numbers', async () => {
      await turn('messages')
      await expect(at(page, 'reach')).toContainText('on this network only')
      const first = at(page, 'message').first()
      await expect(first.locator('textarea')).toHaveValue(/do you come\?/)
      await expect(first.locator('[data-desk=mail]')).toHaveAttribute('href', /^mailto:/)
      await looks(page, 'messages')
      await at(page, 'links').click()
      await expect(first.locator('textarea')).toHaveValue(/\/mine#[\w-]{22}/)
      await at(page, 'all-sent').click()
      await expect(at(page, 'due')).toContainText('Nobody is to hear anything now')
      const sheet = await page.request.get(`${program.origin}/api/crew/sheet?day=${day(1)}`)
      expect(await sheet.text()).not.toContain('555 01 23')
      await turn('rota')
      await at(page, 'team').selectOption('kelp-bay-u14')
      await at(page, 'team-link').click()
      const [, token] = /#([\w-]{22})/.exec(await at(page, 'team-text').inputValue()) ?? []
      const manager = await page.context().newPage()
      await manager.goto(`${program.network}/team#${token}`)
      await expect(manager.locator('h1')).toContainText('Kelp Bay')
      await manager.close()
    })

    await test.step('C9 an answer comes back as a code in a whole message', async () => {
      await turn('messages')
      await at(page, 'out').first().waitFor()
      const asked = (await rota(program)).find((duty) => duty.status === 'waiting')!
      const slips = await (await page.request.get(`${program.origin}/api/crew/sheet?what=slips&day=${asked.day}`)).text()
      const [, code] = new RegExp(`<h2>${asked.name}</h2>[^]*?Yes: ([\\w-]{9})`).exec(slips) ?? []
      await at(page, 'answers').fill(`Hello,\n${code?.toLowerCase()}\nSee you!\n> do you come?`)
      await at(page, 'read-answers').click()
      await expect(at(page, 'replies')).toContainText(`${asked.name} says yes`)
      await expect(page.locator(`[data-desk=out][data-name="${asked.name}"]`).first()).toHaveAttribute('data-state', 'answered')
    })

    await test.step('C2 a game is moved: its people are named and asked anew', async () => {
      await turn('games')
      const moved = (await rota(program)).find((duty) => duty.status === 'waiting')!
      const [home, visitors] = moved.teams.split(' – ')
      await at(page, 'games-file').setInputFiles({
        name: 'moved.csv', mimeType: 'text/csv',
        buffer: Buffer.from(`game,division,home,visitors,date,start,rink\n${moved.game},${moved.game.split('-')[0]},${home},${visitors},${moved.day},06:10,${moved.rink}\n`),
      })
      await expect(at(page, 'games-said')).toContainText('1 changed')
      await expect(at(page, 'touched')).toContainText(moved.name)
      await looks(page, 'games')
    })

    await test.step('before a game is moved on the season’s page, it says whom of the crew that concerns', async () => {
      const one = (await rota(program)).find((duty) => duty.name !== '' && duty.seat === 'clock')!
      const season = (name: string) => page.locator(`[data-season="${name}"]`)
      await page.goto(`${program.origin}/season#schedule`)
      await page.locator(`[data-season=game][data-game="${one.game}"]`).locator('[data-season=change]').click()
      await season('start').fill('18.45')
      await season('why').fill('heating')
      await season('look').click()
      await expect(season('change-duties')).toContainText(one.name)
      await expect(season('start')).toHaveValue('18:45')
      await looks(page, 'season-move')
      await season('state').selectOption('postponed')
      await season('look').click()
      await expect(season('change-duties').getByText(`${one.name} is not needed then`)).toBeVisible()
      await page.goto(`${program.origin}/desk`)
    })

    await test.step('C10 somebody drops out: the next best in order, with the words to send', async () => {
      const one = (await rota(program)).find((duty) => duty.name !== '' && duty.seat === 'clock')!
      await turn('rota')
      await cell(one).click()
      await at(page, 'clear').click()
      await expect(at(page, 'why')).toContainText('Nobody sits here')
      // The ladder says whom to write to now, and once they were asked, when to look again.
      await expect(at(page, 'ladder')).toContainText('Write now to')
      await looks(page, 'ladder')
      await at(page, 'ladder-ask').click()
      await expect(at(page, 'message').locator('textarea').first()).toHaveValue(/do you come\?/)
      await expect(at(page, 'ladder-ask')).toHaveCount(0)
      await expect(at(page, 'ladder')).toContainText('Look again in')
      await page.locator('[data-bench=desk-seat-close]').click()
    })

    await test.step('C9 two people change places where every rule holds, and both have accepted', async () => {
      // Both stand in the weeks that the page shows.
      const shown: Duty[] = []
      for (const duty of await rota(program)) if (duty.name !== '' && (await cell(duty).count()) > 0) shown.push(duty)
      let found: Duty | undefined
      let one: Duty | undefined
      for (const duty of shown) {
        const { swaps } = await ask<{ swaps: { game: string; seat: string }[] }>(program, `/crew/seats/${duty.game}/${duty.seat}`)
        found = shown.find((it) => swaps.some((swap) => swap.game === it.game && swap.seat === it.seat))
        one = duty
        if (found) break
      }
      const theirs = found!
      await cell(one!).click()
      await at(page, 'swaps').click()
      await looks(page, 'swaps')
      await page.locator(`[data-desk=swap][data-game="${theirs.game}"][data-seat="${theirs.seat}"] button`).click()
      await expect(at(page, 'why')).toContainText(`${theirs.name} sits here`)
      await page.locator('[data-bench=desk-seat-close]').click()
      await expect(cell(theirs)).toHaveAttribute('data-person', one!.name)
      await expect(cell(theirs)).toHaveAttribute('data-status', 'yes')
    })

    await test.step('C11 who came, by hand, and back', async () => {
      const one = (await rota(program)).find((duty) => duty.name !== '')!
      await cell(one).click()
      await expect(at(page, 'clear')).toBeVisible()
      await expect(at(page, 'came')).toHaveCount(0) // nobody came to what has not begun
      await page.locator('[data-bench=desk-seat-close]').click()

      // The season began three weeks ago at the least, so a game is over.
      const over = (await ask<{ duties: Duty[] }>(program, `/crew/rota?to=${day(-1)}`)).duties.at(-1)!
      await ask(program, `/crew/seats/${over.game}/${over.seat}`, { act: 'put', person: one.person, anyway: true })
      await at(page, 'from').fill(over.day)
      await cell(over).click()
      await at(page, 'missed').click()
      await expect(at(page, 'mark')).toHaveText('did not come')

      // They read it on their own page, and what to do about it.
      const own = await page.context().newPage()
      await own.goto((await ask<{ link: string }>(program, '/crew/links', { person: one.person })).link)
      await expect(own.locator('[data-mine=past][data-mark=missed]')).toContainText('did not come. If that is wrong, tell the coordinator')
      await looks(own, 'past')
      await own.close()

      await at(page, 'unmark').click()
      await at(page, 'came').click()
      await expect(at(page, 'mark')).toHaveText('came')
      await page.locator('[data-bench=desk-seat-close]').click()
      await at(page, 'from').fill(day(1))
    })

    await test.step('C12 the balance of each family, on the screen and as a table', async () => {
      await turn('balance')
      await expect(page.locator('[data-family="Strand"]')).toBeVisible()
      expect(await (await page.request.get(`${program.origin}/api/crew/balance.csv`)).text()).toContain('Family,Share,Came')
      await looks(page, 'balance')
    })

    await test.step('a desk that was taken over somewhere else says so, and leads people there', async () => {
      const { link } = await ask<{ link: string }>(program, '/crew/links', { person: (await rota(program)).find((duty) => duty.name !== '')!.person })
      await at(page, 'gone-address').fill('https://hub.example/crew/harbour/desk')
      await at(page, 'gone-keep').click()
      await expect(at(page, 'gone')).toContainText('nothing is sent from here')
      await expect(at(page, 'gone-open')).toHaveAttribute('href', 'https://hub.example/crew/harbour/desk')
      await looks(page, 'gone')
      const own = await page.context().newPage()
      await own.goto(link)
      await expect(own.getByRole('link')).toHaveAttribute('href', `https://hub.example/crew/harbour/mine#${link.split('#')[1]}`)
      await looks(own, 'gone-mine')
      await own.close()
      await at(page, 'gone-back').click()
      await expect(at(page, 'gone')).toHaveCount(0)
    })

    await test.step('C14 somebody asks to be forgotten: one action, the counts stay', async () => {
      await turn('people')
      await at(page, 'find').fill('Odin Moe')
      await page.locator('[data-name="Odin Moe"] button').click()
      await expect(at(page, 'person-copy')).toHaveAttribute('href', /copy$/)
      await at(page, 'forget').click()
      await at(page, 'forget-sure').click()
      await expect(page.locator('[data-name="Odin Moe"]')).toHaveCount(0)
      await expect(at(page, 'counts')).toContainText('200 people')
      await looks(page, 'people')
    })

    await test.step('C15 a new season: counts begin at nought, what people can do stays, everybody is asked whether they stay', async () => {
      await nextSeason(program)
      await page.reload()
      await expect(at(page, 'season-other')).toContainText('2026-27')
      await at(page, 'season-begin').click()
      await at(page, 'season-sure').click()
      await expect(at(page, 'season-stays')).toContainText('2027-28')
      await expect(at(page, 'season-stays')).toContainText('200 have not answered')
      await at(page, 'find').fill('Maren Holt')
      await expect(page.locator('[data-name="Maren Holt"]')).toContainText('can guide')
      await looks(page, 'season')
      await turn('messages')
      const first = at(page, 'message').first()
      await expect(first.locator('textarea')).toHaveValue(/Yes, I stay: /)
      const name = await first.getAttribute('data-name')
      const [, no] = /fine too: ([\w-]{9})/.exec(await first.locator('textarea').inputValue()) ?? []
      await at(page, 'all-sent').click()
      await expect(at(page, 'due')).toContainText('Nobody is to hear anything now')
      await at(page, 'answers').fill(`I have to stop, sorry. ${no}`)
      await at(page, 'read-answers').click()
      await expect(at(page, 'replies')).toContainText(`${name} does not stay`)
      await turn('balance')
      await expect(at(page, 'family').first()).toBeVisible()
      for (const cells of await at(page, 'family').all()) expect((await cells.locator('.n').allInnerTexts()).slice(1).map((text) => parseInt(text, 10))).toEqual([0, 0, 0, 0, 0])
      await turn('people')
      await at(page, 'find').fill(name ?? '')
      await expect(page.locator(`[data-name="${name}"]`).first()).toContainText('does not stay')
    })
  } finally {
    await program.close()
  }
})

test('a volunteer on a narrow phone: a link, no account, an answer in under five taps, days away, a swap', async ({ page, browser }) => {
  const program = await Program.desk()
  try {
    await withRota(program)
    const link = async (person: string) => (await ask<{ link: string }>(program, '/crew/links', { person })).link.split('#')[1]
    // Somebody whose seat another could take.
    let one: Duty | undefined
    let other = ''
    for (const duty of (await rota(program)).filter((it) => it.name !== '' && it.day <= day(20))) {
      const { next } = await ask<{ next: { person: string }[] }>(program, `/crew/seats/${duty.game}/${duty.seat}`)
      if (next[0]) {
        ;[one, other] = [duty, next[0].person]
        break
      }
    }
    if (!one) throw new Error('nobody can be replaced')
    const mine = `[data-mine=duty][data-game="${one.game}"][data-seat="${one.seat}"]`

    await page.setViewportSize({ width: 360, height: 740 })
    const answer = await page.goto(`${program.network}/mine#${await link(one.person)}`)
    expect(answer?.headers()['referrer-policy']).toBe('no-referrer')
    await expect(page.locator('h1')).toHaveText(`Hello ${one.name.split(' ')[0]}`)
    await page.screenshot({ path: 'test-results/mine-phone.png', fullPage: true })
    expect(await beyond(page)).toBeLessThanOrEqual(0)
    for (const scheme of ['light', 'dark'] as const) {
      await page.emulateMedia({ colorScheme: scheme })
      expect(await violations(page), scheme).toEqual([])
    }

    // One tap accepts; a whole answer, the page opened, is one of under five.
    await page.locator(`${mine} [data-mine=yes]`).click()
    await expect(page.locator('[data-mine=said]')).toHaveText('Thank you: you come.')
    await expect(page.locator(mine)).toHaveAttribute('data-status', 'yes')
    // Days away, with a keyboard for the two days.
    await page.locator('[data-mine=when] summary').click()
    await page.locator('[data-mine=away-add]').click()
    await page.locator('[data-mine=away-from]').fill(day(200))
    await page.locator('[data-mine=away-to]').fill(day(207))
    await page.locator('[data-mine=keep]').click()
    await expect(page.locator('[data-mine=said]')).toContainText('Kept')

    // One tap gives it away, and another takes it with one tap on their own page; the coordinator did nothing.
    await page.locator(`${mine} [data-mine=spare]`).click()
    await expect(page.locator(mine)).toHaveAttribute('data-status', 'spare')
    const theirs = await (await browser.newContext({ viewport: { width: 360, height: 740 } })).newPage()
    await theirs.goto(`${program.network}/mine#${await link(other)}`)
    await theirs.locator(`[data-mine=other][data-game="${one.game}"][data-seat="${one.seat}"] [data-mine=take]`).click()
    await expect(theirs.locator(mine)).toHaveAttribute('data-status', 'yes')
    await theirs.context().close()
    await page.reload()
    await expect(page.locator(mine)).toHaveCount(0)
    expect((await rota(program)).find((it) => it.game === one.game && it.seat === one.seat)?.person).toBe(other)

    // They ask to be forgotten; the coordinator sees it.
    await page.locator('summary', { hasText: 'What is kept of you' }).click()
    await page.locator('[data-mine=forget]').click()
    await page.locator('[data-mine=forget-sure]').click()
    await expect(page.locator('[data-mine=said]')).toContainText('told that you want to be forgotten')
    // A link that is not whole opens nothing, and says what to do.
    await page.goto(`${program.network}/mine#notatoken`)
    await page.reload()
    await expect(page.locator('[data-mine=trouble]')).toContainText('opens nothing')

    // Two change places by themselves: one asks, the other says yes; both have accepted.
    for (const duty of (await rota(program)).filter((it) => it.name !== '')) {
      const { swaps } = await ask<{ swaps: { game: string; seat: string }[] }>(program, `/crew/seats/${duty.game}/${duty.seat}`)
      if (!swaps[0]) continue
      const given = (await rota(program)).find((it) => it.game === swaps[0]?.game && it.seat === swaps[0].seat)!
      const place = (it: Duty) => `[data-game="${it.game}"][data-seat="${it.seat}"]`
      await page.goto('about:blank')
      await page.goto(`${program.network}/mine#${await link(duty.person)}`)
      await page.locator(`[data-mine=duty]${place(duty)} [data-mine=swap] summary`).click()
      await page.locator(`[data-mine=duty]${place(duty)} [data-mine=swap-could]${place(given)} [data-mine=swap-ask]`).click()
      await expect(page.locator('[data-mine=swap-asked]')).toBeVisible()
      await page.screenshot({ path: 'test-results/mine-swap-asked.png', fullPage: true })
      await page.goto('about:blank')
      await page.goto(`${program.network}/mine#${await link(given.person)}`)
      await page.screenshot({ path: 'test-results/mine-swap-wish.png', fullPage: true })
      expect(await beyond(page)).toBeLessThanOrEqual(0)
      expect(await violations(page)).toEqual([])
      await page.locator('[data-mine=swap-yes]').click()
      await expect(page.locator(`[data-mine=duty]${place(duty)}`)).toHaveAttribute('data-status', 'yes')
      expect((await rota(program)).find((it) => it.game === given.game && it.seat === given.seat)).toMatchObject({ person: duty.person, status: 'yes' })
      return
    }
    throw new Error('nobody can change places')
  } finally {
    await program.close()
  }
})

test('the bench: those on duty stand on the seats page by name, a seat that is taken marks its duty, and the desk reads it back', async ({ page, browser }) => {
  test.setTimeout(180_000)
  const desk = await Program.desk()
  const bench = await Program.lan()
  try {
    await withRota(desk)
    const one = (await rota(desk)).find((duty) => duty.name !== '' && duty.seat === 'clock')!
    const marks = async () => (await rota(desk)).find((duty) => duty.game === one.game && duty.seat === 'clock')?.mark
    const file = Buffer.from(await (await page.request.get(`${desk.origin}/api/crew/on-duty.json?from=${one.day}&to=${one.day}`)).body())

    // The bench has the season, and opens the game from its schedule.
    await league(bench)
    const id = '01J00000000000000000000000'
    const { home, visitors } = await ask<{ home: object; visitors: object }>(bench, `/season/schedule/${one.game}/lineup`)
    await ask(bench, `/season/schedule/${one.game}/open`, { id, home, visitors, again: true })
    await page.goto(`${bench.origin}/bench/${id}`)
    await page.locator('[data-bench=setup-seats]').click()
    const duty = page.locator('[data-bench=duty][data-seat=clock]')
    await expect(page.locator('[data-bench=on-duty]')).toContainText('Nobody told this bench')
    await page.locator('[data-bench=duty-file]').setInputFiles({ name: 'on-duty.json', mimeType: 'application/json', buffer: file })
    await expect(duty).toContainText(one.name.split(' ')[0] ?? '')
    await expect(duty).not.toContainText(one.name)

    // A phone takes the clock: the duty is done.
    const phone = await Phone.fresh(browser, bench, 'Clock phone')
    await page.locator('[data-bench=seat-invite][data-seat=clock]').click()
    await phone.ask((await page.locator('[data-bench=invite]').getAttribute('data-link')) ?? '')
    await page.locator('[data-bench=seat-approve]').click()
    await expect(duty).toHaveAttribute('data-mark', 'came')
    const back = async () => {
      await ask(desk, '/crew/answers', { text: `From the bench: ${await page.locator('[data-bench=duty-codes]').inputValue()}` })
      return marks()
    }
    expect(await back()).toBe('came')

    // Not shown is by hand, and can be taken back.
    await duty.locator('[data-bench=duty-back]').click()
    await duty.locator('[data-bench=duty-missed]').click()
    await expect(duty).toHaveAttribute('data-mark', 'missed')
    expect(await back()).toBe('missed')
    await duty.locator('[data-bench=duty-back]').click()
    await expect(duty).toHaveAttribute('data-mark', '')
    expect(await back()).toBe('')
    for (const [size, width, height] of [['phone', 390, 844], ['laptop', 1366, 768]] as const) {
      await page.setViewportSize({ width, height })
      await page.screenshot({ path: `test-results/on-duty-${size}.png` })
      expect(await beyond(page), size).toBeLessThanOrEqual(0)
    }
    expect(await violations(page)).toEqual([])
  } finally {
    await bench.close()
    await desk.close()
  }
})
