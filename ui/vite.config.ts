import { svelte } from '@sveltejs/vite-plugin-svelte'
import { loadEnv } from 'vite'
import { defineConfig } from 'vitest/config'

// The message catalogues live beside the Go code, because both sides read them.
const messages = decodeURI(new URL('../internal/locale/messages', import.meta.url).pathname)

export default defineConfig(({ mode }) => ({
  plugins: [svelte()],
  resolve: { alias: { $messages: messages } },
  server: {
    host: '127.0.0.1',
    fs: { allow: ['.', messages] },
    proxy: { '/api': loadEnv(mode, '.', 'WHISTLESTOP_').WHISTLESTOP_BENCH ?? 'http://127.0.0.1:8080' },
  },
  build: {
    target: 'es2022',
    // The strict content security policy of the program has no room for data:
    // scripts, and fonts are cached better as files.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  test: { include: ['src/**/*.test.ts', 'practice-site/*.test.js'] },
}))
