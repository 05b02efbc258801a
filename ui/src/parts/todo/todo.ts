import type { Announcement, Kind, Line, Side, State } from '../../base/contract/contract'
import { leftText } from '../../base/words/format'
import { playerName, teamName } from '../../base/words/game'
import { say, t } from '../../base/words/words'
import { aboutOf } from '../../game/about'
import { dueNow, duePerson } from '../../game/due'
import type { Now } from '../../game/lanes/play'

/** One thing to do between Post and the puck drop. Nothing of it holds the puck. */
export interface Todo {
  key: string
  kind: 'out' | 'score' | 'in' | 'say'
  text: string
  more: string
  side?: Side
  what?: string // the announcement that a tick says was made
}

const stops: Kind[] = ['clock_stopped', 'board_read', 'stage_begun']

/** What was entered since play last stopped: the whistle's own lines, without those that were taken back. */
export function sinceWhistle(lines: Line[]): Line[] {
  let at = lines.length - 1
  for (let line = lines[at]; line && (line.struck || !stops.includes(line.kind)); line = lines[at]) at--
  return lines.slice(at + 1).filter((line) => !line.struck)
}

/**
 * What a whistle leaves to do, in the order in which it is done: who is let out,
 * the score on the board, who sits down and until when, what is said. Nothing is
 * worked out here: the book says who and when.
 */
export function todoList(state: State, now: Now, announcements: Announcement[]): Todo[] {
  if (!now.play) return []
  const lines = sinceWhistle(state.lines)
  const list: Todo[] = dueNow(state, now).filter((one) => one.phase === 'now').map((one) => ({
    key: `out/${one.term}/${one.door}/${one.moment.abs_ms}`, kind: 'out', side: one.side,
    text: one.door === 'none' ? t('todo.on', { team: teamName(state, one.side) }) : t('todo.out', { number: one.sits || '?', team: teamName(state, one.side), gate: t(`lane.gate.${one.side}`) }),
    more: [one.door === 'none' ? '' : duePerson(state, one), say(one.why)].filter(Boolean).join(' · '),
  }))
  const [home, visitors] = state.teams
  if (lines.some((line) => line.kind === 'goal')) {
    list.push({
      key: `score/${home.score}/${visitors.score}`, kind: 'score', text: t('todo.score', { home: home.shown, visitors: visitors.shown }),
      more: t('todo.score.more', { home: home.name, visitors: visitors.name }),
    })
  }
  for (const line of lines) if (line.kind === 'penalty') list.push(...sitting(state, line))
  // Only what this whistle brought: whoever announces nothing is not asked again and again.
  const about = new Set<string | undefined>(lines.map(aboutOf))
  for (const one of announcements.filter(({ entry }) => about.has(entry))) {
    list.push({ key: `say/${one.key}`, kind: 'say', what: one.key, text: t('todo.say', { words: one.says.map(say).join(' ') }), more: one.waits ? t('todo.say.waits') : one.again ? t('todo.say.again') : '' })
  }
  return list
}

const most = 12 // rows; more of them at one whistle are not read

/** What of a list is shown: all of it, or where there is too much the first of what is not done. */
export function shownOf(list: Todo[], done: (one: Todo) => boolean): Todo[] {
  return list.length <= most ? list : list.filter((one) => !done(one)).slice(0, most)
}

/** Who sits for a call, and until when: one row for each person. */
function sitting(state: State, line: Line): Todo[] {
  const people = new Map<string, Todo>()
  for (const term of state.terms.filter((one) => one.entry === line.entry && one.length_ms > 0)) {
    const number = term.sits || '?'
    people.set(number, {
      key: `in/${line.entry}/${number}`, kind: 'in', side: term.side,
      text: t('todo.in', { number, team: teamName(state, term.side) }),
      more: [playerName(state, term.side, number), term.out || term.end.period > 0 ? t(term.goal_ends ? 'todo.back.goal' : 'todo.back', { time: leftText((term.out ?? term.end).left_ms) }) : ''].filter(Boolean).join(' · '),
    })
  }
  return [...people.values()]
}
