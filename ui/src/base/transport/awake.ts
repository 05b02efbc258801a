/**
 * Keeps the screen of this device on while the page is in front. Browsers allow
 * that on encrypted pages only, and some not at all: then nothing happens, and
 * the device goes to sleep as it is set to. The result ends it.
 */
export function keepAwake(): () => void {
  let lock: WakeLockSentinel | undefined
  let ended = false
  const ask = () => {
    if (document.visibilityState !== 'visible' || !('wakeLock' in navigator)) return
    navigator.wakeLock.request('screen')
      .then((got) => {
        if (ended) void got.release()
        else lock = got
      })
      .catch(() => undefined) // the battery is low, or the person said no
  }
  ask()
  // The browser lets go whenever the page is hidden.
  document.addEventListener('visibilitychange', ask)
  return () => {
    ended = true
    document.removeEventListener('visibilitychange', ask)
    void lock?.release()
  }
}
