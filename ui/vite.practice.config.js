import { svelte } from '@sveltejs/vite-plugin-svelte'
import { defineConfig } from 'vite'
import { finish } from './practice-site/finish.js'

const messages = decodeURI(new URL('../internal/locale/messages', import.meta.url).pathname)

// The practice site: a folder of its own that works on any web host, in any of
// its folders, and by a double click on index.html. So there is one classic
// script (a page from a folder may load no modules), and every address is
// relative.
export default defineConfig({
  base: './',
  plugins: [svelte(), finish()],
  resolve: { alias: { $messages: messages } },
  build: {
    target: 'es2022',
    outDir: 'dist/practice',
    assetsInlineLimit: 0,
    modulePreload: false,
    cssCodeSplit: false,
    rollupOptions: {
      input: 'practice.html',
      output: {
        format: 'iife',
        inlineDynamicImports: true,
        // The names stay, so that a new version of the site replaces the old one file by file.
        entryFileNames: 'practice.js',
        assetFileNames: ({ names: [name = ''] }) => (name.endsWith('.css') ? 'practice.css' : 'fonts/[name][extname]'),
      },
    },
  },
})
