import { svelte } from '@sveltejs/vite-plugin-svelte'
import { defineConfig } from 'vite'
import { finish } from './practice-site/finish.js'

const messages = decodeURI(new URL('../internal/locale/messages', import.meta.url).pathname)

// Parts of the bench that need folders of a server. No link of the site can do that (see
// practice/inside.ts and practice/pocket/bench.ts), so they are never opened, and stay out of it.
const outside = /(FolderCopies|WallPicture|DutyRows)\.svelte$/
const nothing = decodeURI(new URL('practice-site/nothing.js', import.meta.url).pathname)
const leaveOut = {
  name: 'leave-out',
  enforce: 'pre',
  resolveId: (id, from) => (outside.test(id) && !/slot\//.test(from ?? '') ? nothing : null),
}

// The practice site: a folder of its own that works on any web host, in any of
// its folders, and by a double click on index.html. So there is one classic
// script (a page from a folder may load no modules), and every address is
// relative.
export default defineConfig({
  base: './',
  plugins: [leaveOut, svelte(), finish()],
  resolve: { alias: { $messages: messages } },
  // Other letters are written as \u: a browser keeps a script with one of them at twice its length.
  esbuild: { charset: 'ascii' },
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
        // One script has no importers that could tell: what a module of its own would need is left out.
        freeze: false,
        generatedCode: { symbols: false },
        // The names stay, so that a new version of the site replaces the old one file by file.
        entryFileNames: 'practice.js',
        assetFileNames: ({ names: [name = ''] }) => (name.endsWith('.css') ? 'practice.css' : 'fonts/[name][extname]'),
      },
    },
  },
})
