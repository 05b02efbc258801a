import { t } from '../../base/words/words'
import { type Answers, answerDevice, type Hub } from './answer'
import { Room } from './room.svelte'
import type { Wire } from './wire'

/** The devices that the bench of this page speaks with. */
class Devices {
  /** Who answers them: the thread of the bench, once it runs. */
  #answers: Answers | undefined
  /** The room at the hub, for phones that come by way of it. */
  readonly room = new Room((wire) => this.add(wire, t('devices.way.hub')))

  /** The thread of the bench runs from now on. Phones that came by the hub find it again. */
  begin(answers: Answers): void {
    this.#answers = answers
    if (this.room.kept) void this.openRoom()
  }

  /** Opens the room at the hub. False: the bench is paired with none that this page could ask. */
  async openRoom(): Promise<boolean> {
    const hub = await this.hub()
    if (!hub) return false
    await this.room.open(hub)
    return true
  }

  /** The bench was paired with a hub, or with none any more: a room of before is over. */
  async paired(): Promise<void> {
    if (this.room.elsewhere(await this.hub())) this.room.close()
  }

  /** The hub that the bench is paired with and that this page may ask: the one that it came from. */
  async hub(): Promise<Hub | undefined> {
    const hub = await this.#answers?.hub()
    return hub && hub.address === location.origin ? hub : undefined
  }

  /** Answers a device over its wire from now on. */
  add(wire: Wire, from: string): void {
    if (this.#answers) answerDevice(wire, this.#answers, from, () => this.room)
  }
}

export const devices = new Devices()
