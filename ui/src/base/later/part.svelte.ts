import type { Component } from 'svelte'
import { painted } from './painted'

const again = 1000 // milliseconds between two tries

/** What a component takes. */
type Props = Parameters<Component>[1]

/** The parts of this page that come after its first picture. */
const parts: { fetch: () => Promise<void> }[] = []

/**
 * Part is a component that the first picture does without. It is fetched right after that picture, not
 * when somebody wants it: the bench may be out of reach then. Once here it stays.
 */
export class Part<P extends Props> {
  /** The component, once it is here. */
  shown = $state.raw<Component<P>>()
  /** It was asked for and did not come; it is asked for again. */
  missed = $state(false)
  #coming: Promise<void> | undefined

  constructor(private readonly load: () => Promise<{ default: Component<P> }>) {
    parts.push(this)
  }

  /** Fetches the component unless it is here or on its way, and tries until it is. */
  fetch(): Promise<void> {
    this.#coming ??= this.#fetch()
    return this.#coming
  }

  async #fetch(): Promise<void> {
    while (!this.shown) {
      try {
        this.shown = (await this.load()).default
      } catch {
        this.missed = true
        await new Promise((resolve) => setTimeout(resolve, again))
      }
    }
  }
}

/**
 * A part of the page that comes after its first picture. Once for a file (`<script module>`), never for each component
 * that shows it: all parts are remembered, and with one all that its component holds.
 */
export function later<P extends Props>(load: () => Promise<{ default: Component<P> }>): Part<P> {
  return new Part(load)
}

/**
 * Fetches what the page did without so far, one after the other, when the picture that is due has been painted: what
 * is named comes first.
 */
export function fetchTheRest(...first: { fetch: () => Promise<void> }[]): void {
  painted(() => {
    void (async () => {
      for (const part of [...first, ...parts]) await part.fetch()
    })()
  })
}
