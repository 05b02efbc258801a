import './base/look/base.css'
import { mount } from 'svelte'
import { followScheme } from './base/look/scheme'
import { feelPresses } from './base/sound/touch'
import { api } from './base/transport/api'
import { place } from './base/transport/link'
import { openLanguage } from './base/words/language'
import { t } from './base/words/words'
import { languages } from './languages'

const gameId = 26 // letters of a game's id

/** The pages are one bundle each; the address says which one this is. */
async function open(target: HTMLElement): Promise<void> {
  await openLanguage(languages)
  const [, page = '', id = ''] = location.pathname.slice(place.length).split('/')
  if (page !== 'wall') followScheme() // the Wall is ice on ink wherever it hangs
  if (page === '') {
    const { default: Start } = await import('./screens/start/Start.svelte')
    mount(Start, { target })
    return
  }
  if (page === 'season') {
    const { default: Season } = await import('./screens/season/Season.svelte')
    mount(Season, { target })
    return
  }
  if (page === 'desk') {
    const { default: Desk } = await import('./screens/desk/Desk.svelte')
    mount(Desk, { target })
    return
  }
  if (page === 'mine' || page === 'team') {
    const { Mine, Team } = await import('./screens/mine/pages')
    mount(page === 'mine' ? Mine : Team, { target })
    return
  }
  if (page === 'join') {
    const { default: Join } = await import('./screens/join/Join.svelte')
    mount(Join, { target })
    return
  }
  if (page === 'seat') {
    const { default: Seat } = await import('./screens/seat/Seat.svelte')
    mount(Seat, { target, props: { newest: await newest() ?? '' } })
    return
  }
  if (page !== 'bench' && page !== 'box' && page !== 'wall' && page !== 'follow' && page !== 'report') {
    target.textContent = t('app.no_page')
    return
  }
  if (page === 'follow' && id.length > gameId) { // the link of a team, at a hub
    const { default: Team } = await import('./screens/follow/Team.svelte')
    mount(Team, { target, props: { token: id } })
    return
  }
  const game = id || (await newest())
  if (game === null) {
    location.replace('/')
    return
  }
  if (page === 'bench') {
    const { default: Bench } = await import('./screens/bench/Bench.svelte')
    mount(Bench, { target, props: { id: game } })
  } else if (page === 'follow') {
    const { default: Follow } = await import('./screens/follow/Follow.svelte')
    mount(Follow, { target, props: { id: game } })
  } else if (page === 'report') {
    const { default: Report } = await import('./screens/report/Report.svelte')
    mount(Report, { target, props: { id: game } })
  } else if (page === 'box') {
    const { default: BoxTable } = await import('./screens/box/BoxTable.svelte')
    mount(BoxTable, { target, props: { id: game } })
  } else {
    const { default: Wall } = await import('./screens/wall/Wall.svelte')
    mount(Wall, { target, props: { id: game } })
  }
}

/** The newest game's id; null when there is none. Waits for a program that does not answer yet. */
async function newest(): Promise<string | null> {
  for (;;) {
    try {
      const games = await api.games()
      return games[0]?.id ?? null
    } catch {
      await new Promise((resolve) => setTimeout(resolve, 1000))
    }
  }
}

feelPresses()
const target = document.getElementById('app')
if (target) {
  void open(target).catch(() => {
    target.textContent = t('app.unreachable')
  })
}
