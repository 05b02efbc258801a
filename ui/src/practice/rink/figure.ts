/**
 * The referee's figure is ours: a head, a shirt, two legs and two arms, and an arm
 * is two points, elbow and hand. One pose stands for a family of calls; the word
 * beside it says which call it is. In a frame of 100 by 120, seen from the front.
 */
export interface Pose {
  /** Elbow and hand of the arm that is on the left of the picture. */
  left: Arm
  right: Arm
  /** More strokes: a stick, a mark of movement. An SVG path. */
  more?: string
}

type Arm = [elbow: [number, number], hand: [number, number]]

const hangs = { left: [[28, 56], [30, 76]] as Arm, right: [[72, 56], [70, 76]] as Arm }

const poses = {
  // An arm that points down at the net.
  goal: { left: [[26, 52], [34, 70]], right: [[76, 54], [90, 72]], more: 'M80 84h18v16h-18z M86 84v16 M92 84v16 M80 92h18' },
  // Both arms swept out flat.
  washed: { left: [[22, 42], [4, 42]], right: [[78, 42], [96, 42]], more: 'M4 52h14 M82 52h14' },
  // One arm straight up: a call is coming.
  up: { left: hangs.left, right: [[72, 22], [74, 2]] },
  // One hand flat on the other's finger tips.
  time: { left: [[28, 54], [50, 50]], right: [[72, 38], [50, 34]], more: 'M36 33h28 M50 34v16' },
  // Two fists on a stick held before the body.
  stick: { left: [[26, 50], [40, 58]], right: [[74, 50], [60, 58]], more: 'M26 58h48' },
  // Two fists above the shoulder, one over the other.
  high: { left: [[34, 30], [60, 22]], right: [[76, 30], [64, 12]], more: 'M64 12l14 -8' },
  // One hand chops the other forearm.
  chop: { left: [[26, 50], [20, 66]], right: [[66, 54], [30, 56]], more: 'M34 44l-8 8 M40 48l-8 8' },
  // Both hands pull towards the body.
  pull: { left: [[24, 50], [42, 62]], right: [[76, 50], [58, 62]], more: 'M20 62h14l-5 -5 M34 62l-5 5 M80 62h-14l5 -5 M66 62l5 5' },
  // A hand sweeps below the knee.
  trip: { left: hangs.left, right: [[74, 64], [66, 92]], more: 'M74 98l10 6 M72 104l8 8' },
  // One hand grips the other wrist.
  grip: { left: [[24, 52], [44, 56]], right: [[76, 56], [50, 56]], more: 'M42 50v12 M48 50v12' },
  // Arms crossed before the chest.
  crossed: { left: [[30, 56], [62, 44]], right: [[70, 56], [38, 44]] },
  // A fist pushed out to the side.
  fist: { left: hangs.left, right: [[78, 46], [94, 40]], more: 'M90 36h8v8h-8z' },
  // A fist driven into the other palm.
  drive: { left: [[24, 50], [44, 56]], right: [[78, 50], [54, 56]], more: 'M42 48v16 M64 44l6 -6 M68 50l8 -4' },
  // Both palms pushed forward.
  push: { left: [[30, 52], [38, 46]], right: [[70, 52], [62, 46]], more: 'M34 40v12 M66 40v12 M44 34v-8 M56 34v-8' },
  // A hand on the elbow, or the knee, that did it.
  elbow: { left: [[20, 50], [34, 36]], right: [[68, 58], [26, 52]] },
  knee: { left: hangs.left, right: [[74, 66], [60, 90]], more: 'M54 90h12' },
  // A hand flat beside the head.
  head: { left: hangs.left, right: [[76, 34], [62, 18]], more: 'M64 10v16' },
  // Hands on the hips.
  hips: { left: [[20, 54], [38, 68]], right: [[80, 54], [62, 68]] },
  // An open hand swept across the chest.
  sweep: { left: hangs.left, right: [[74, 54], [84, 38]], more: 'M60 32q12 -10 22 0 M82 32l-6 -1 M82 32l1 -6' },
  // Six fingers before the chest.
  count: { left: [[26, 54], [42, 46]], right: [[74, 54], [60, 46]], more: 'M36 44v-8 M39 43v-9 M42 43v-9 M45 43v-9 M48 44v-8 M60 43v-9' },
  // Arms crossed above the head.
  alone: { left: [[32, 20], [58, 4]], right: [[68, 20], [42, 4]] },
  // A hand before the mouth, and a finger up: some other call.
  other: { left: hangs.left, right: [[74, 50], [72, 30]], more: 'M72 28v-8' },
} satisfies Record<string, Pose>

type PoseName = keyof typeof poses

const poseOf: Record<string, PoseName> = {
  goal: 'goal', no_goal: 'washed', arm_up: 'up', time_out: 'time',
  tripping: 'trip', tripped_on_breakaway: 'alone', kneeing: 'knee',
  hooking: 'pull', holding: 'grip', holding_stick: 'grip',
  slashing: 'chop', cross_checking: 'stick', spearing: 'stick', butt_ending: 'stick', high_sticking: 'high', thrown_stick: 'high',
  interference: 'crossed', goalkeeper_interference: 'crossed',
  roughing: 'fist', fighting: 'fist', elbowing: 'elbow', head_contact: 'head',
  boarding: 'drive', charging: 'drive', body_checking: 'drive', checking_from_behind: 'push',
  unsportsmanlike: 'hips', abuse_of_officials: 'hips', bench_conduct: 'hips', diving: 'hips',
  delay_of_game: 'sweep', equipment: 'sweep', too_many_players: 'count', other: 'other',
}

/** The name of the pose for a signal. A call that nobody drew a pose for gets the one for other calls. */
export function poseName(signal: string): PoseName {
  return poseOf[signal] ?? 'other'
}

export function poseFor(signal: string): Pose {
  return poses[poseName(signal)]
}

/** The signals by their poses: those that share one stand together, in the order of the table above. */
export function families(): string[][] {
  const list = new Map<PoseName, string[]>()
  for (const [signal, pose] of Object.entries(poseOf)) {
    const family = list.get(pose)
    if (family) family.push(signal)
    else list.set(pose, [signal])
  }
  return [...list.values()]
}

/** An arm as a path from its shoulder. */
export function armPath(side: 'left' | 'right', [elbow, hand]: Arm): string {
  const shoulder = side === 'left' ? '36 36' : '64 36'
  return `M${shoulder} L${elbow.join(' ')} L${hand.join(' ')}`
}
