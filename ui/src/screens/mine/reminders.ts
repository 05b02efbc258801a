import { place } from '../../base/transport/link'
import type { Device } from '../../base/transport/mine'

/** What stands in the way of reminders on this device; empty: nothing. */
export type Hindrance = '' | 'unsafe' | 'install' | 'none'

/** Whether this browser can show reminders. On an iPhone or iPad only a page that was put on the home screen can. */
export function hindrance(): Hindrance {
  if (!globalThis.isSecureContext) return 'unsafe'
  if ('serviceWorker' in navigator && 'PushManager' in globalThis && 'Notification' in globalThis) return ''
  return /iPhone|iPad|iPod/.test(navigator.userAgent) || (navigator.userAgent.includes('Macintosh') && navigator.maxTouchPoints > 1) ? 'install' : 'none'
}

const scope = `${place}/`

/** What the browser gives of a subscription, as the desk keeps it. */
function deviceOf(subscription: PushSubscription): Device {
  const { endpoint = '', keys = {} } = subscription.toJSON()
  return { endpoint, p256dh: keys.p256dh ?? '', auth: keys.auth ?? '' }
}

/** The name by which the desk tells a device: the beginning of the SHA-256 of its address. */
export async function idOf(endpoint: string): Promise<string> {
  const sum = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(endpoint))
  return [...new Uint8Array(sum).slice(0, 8)].map((one) => one.toString(16).padStart(2, '0')).join('')
}

/** Text in base64url as bytes. */
export function bytesOf(text: string): Uint8Array<ArrayBuffer> {
  const raw = atob(text.replaceAll('-', '+').replaceAll('_', '/'))
  return Uint8Array.from(raw, (one) => one.charCodeAt(0))
}

/** This device, where reminders were turned on in this browser. Asks nobody for anything. */
export async function here(): Promise<Device | null> {
  if (hindrance() !== '') return null
  const kept = await (await navigator.serviceWorker.getRegistration(scope))?.pushManager.getSubscription()
  return kept ? deviceOf(kept) : null
}

/** Asks for permission, which a browser lets a page do after a tap only, and binds this device to the key. Null: the reader said no. */
export async function turnOn(key: string): Promise<Device | null> {
  if ((await Notification.requestPermission()) !== 'granted') return null
  const kept = await navigator.serviceWorker.register(`${place}/reminders.js`, { scope, updateViaCache: 'none' })
  await running(kept)
  const old = await kept.pushManager.getSubscription()
  if (old && !bound(old, key)) await old.unsubscribe()
  const made = await kept.pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: bytesOf(key) })
  return deviceOf(made)
}

/** Waits until the worker of a registration runs. */
function running(kept: ServiceWorkerRegistration): Promise<void> {
  const worker = kept.installing ?? kept.waiting
  if (!worker || kept.active) return Promise.resolve()
  return new Promise((resolve) => {
    worker.addEventListener('statechange', () => {
      if (worker.state === 'activated' || worker.state === 'redundant') resolve()
    })
  })
}

function bound(to: PushSubscription, key: string): boolean {
  const own = to.options.applicationServerKey
  if (!own) return false
  const [one, other] = [new Uint8Array(own), bytesOf(key)]
  return one.length === other.length && one.every((byte, at) => byte === other[at])
}

/** Takes this device off, as far as the browser is concerned. */
export async function turnOff(): Promise<void> {
  const kept = await (await navigator.serviceWorker.getRegistration(scope))?.pushManager.getSubscription()
  await kept?.unsubscribe()
}
