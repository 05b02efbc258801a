import { existsSync } from 'node:fs'
import { defineConfig } from '@playwright/test'

// Chromium without windows draws every page as if it were in front, and takes half the
// work of the whole browser. Where it is not there, the whole browser does as well.
const windowless = '/usr/bin/chromium-headless-shell'
const browser = process.env['CHROMIUM'] ?? (existsSync(windowless) ? windowless : '/usr/bin/chromium')

const measured = ['journeys/abuse.spec.ts', 'journeys/speed.spec.ts', 'journeys/live.spec.ts']

export default defineConfig({
  testDir: '.',
  testMatch: ['journeys/*.spec.ts', 'stories/*.spec.ts'],
  outputDir: 'test-results',
  // Mostly a browser waits for what people do in real time, so four share two
  // cores. What measures speed goes first, and by itself.
  workers: 4,
  fullyParallel: false,
  projects: [
    { name: 'speed', testMatch: measured, workers: 1 },
    { name: 'games', testIgnore: measured, dependencies: ['speed'] },
  ],
  forbidOnly: true,
  retries: 1, // a browser may stumble once on a shared machine; the list says which did
  // Limits are for what hangs, not for what is slow: beside everything else on a busy machine a journey
  // takes several times as long as alone. What must be quick is measured by itself, and first.
  timeout: 900_000,
  expect: { timeout: 60_000 },
  reporter: [['list']],
  use: {
    browserName: 'chromium',
    actionTimeout: 60_000,
    viewport: { width: 1366, height: 768 },
    locale: 'en-GB',
    // In the whole browser with the film of the pages, which asks for their frames: a page that is
    // not in front gets one a second otherwise, and every click there waits for two.
    trace: { mode: 'on-first-retry', screenshots: browser !== windowless },
    launchOptions: {
      executablePath: browser,
      args: [
        '--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking',
        '--disable-component-update', '--disable-sync', '--autoplay-policy=no-user-gesture-required',
        // Both pages are looked at, though only one can be in front.
        '--disable-renderer-backgrounding', '--disable-backgrounding-occluded-windows',
        '--disable-background-timer-throttling',
        // The name by which phones on a network reach the bench. A page that comes by it
        // is a stranger to the program, though it runs on the same machine.
        '--host-resolver-rules=MAP *.local 127.0.0.1',
      ],
    },
  },
})
