import { type Answers, answerDevice } from './answer'
import type { Wire } from './wire'

/** The devices that the bench of this page speaks with. */
class Devices {
  /** Who answers them: the thread of the bench, once it runs. */
  answers: Answers | undefined

  /** Answers a device over its wire from now on. */
  add(wire: Wire, from: string): void {
    if (this.answers) answerDevice(wire, this.answers, from)
  }
}

export const devices = new Devices()
