// Shows reminders that a hub sends to this device, and opens the person's page at a tap. It
// keeps no page and answers no request: everything else goes its usual way.
'use strict'

self.addEventListener('install', () => self.skipWaiting())
self.addEventListener('activate', (event) => event.waitUntil(self.clients.claim()))

/** The person's page, if an address is one of this desk; otherwise the desk's page of duties without a link. */
function pageOf(address) {
  try {
    const url = new URL(address)
    if (url.href.startsWith(`${self.registration.scope}mine#`)) return url.href
  } catch {
    // no address: below
  }
  return `${self.registration.scope}mine`
}

self.addEventListener('push', (event) => {
  let note = {}
  try {
    note = event.data ? event.data.json() : {}
  } catch {
    // a browser wants something shown for every message
  }
  const { title = 'Whistlestop', body = '', url = '', tag = 'duties' } = note
  event.waitUntil(
    self.registration.showNotification(String(title), { body: String(body), tag: String(tag), renotify: true, icon: '/mark.svg', data: pageOf(String(url)) }),
  )
})

self.addEventListener('notificationclick', (event) => {
  event.notification.close()
  const address = event.notification.data
  event.waitUntil(
    self.clients.matchAll({ type: 'window' }).then((open) => {
      const there = open.find((one) => one.url === address)
      return there ? there.focus() : self.clients.openWindow(address)
    }),
  )
})
