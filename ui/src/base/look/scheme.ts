/** How a page looks on this device: as the device does, ink on ice, or ice on ink for a dark rink. */
export type Scheme = 'device' | 'light' | 'dark'
export const schemes: Scheme[] = ['device', 'light', 'dark']

const setting = 'whistlestop.scheme'
const system = matchMedia('(prefers-color-scheme: dark)')

/** What was chosen on this device. */
export function chosenScheme(): Scheme {
  const kept = localStorage.getItem(setting)
  return schemes.find((one) => one === kept) ?? 'device'
}

function show(): void {
  const chosen = chosenScheme()
  document.documentElement.classList.toggle('dark', chosen === 'device' ? system.matches : chosen === 'dark')
}

export function chooseScheme(scheme: Scheme): void {
  localStorage.setItem(setting, scheme)
  show()
}

/** Shows the page as was chosen, now and whenever the device or another page of it changes that. */
export function followScheme(): void {
  show()
  system.addEventListener('change', show)
  addEventListener('storage', show)
}
