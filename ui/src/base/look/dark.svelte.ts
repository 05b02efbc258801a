const place = 'whistlestop.dark'

function kept(): boolean {
  try {
    return localStorage.getItem(place) === 'on'
  } catch {
    return false
  }
}

/** Dark is whether this device shows the bench as ice on ink: for a dark rink, chosen by hand and kept here. */
class Dark {
  on = $state(kept())

  set(on: boolean): void {
    this.on = on
    try {
      localStorage.setItem(place, on ? 'on' : 'off')
    } catch {
      // Forbidden: it lasts as long as the page.
    }
  }

  /** Called as an effect by the page that has both schemes. */
  show(): () => void {
    document.documentElement.classList.toggle('dark', this.on)
    return () => document.documentElement.classList.remove('dark')
  }
}

export const dark = new Dark()
