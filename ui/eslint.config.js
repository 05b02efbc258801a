import js from '@eslint/js'
import { createNodeResolver, importX } from 'eslint-plugin-import-x'
import svelte from 'eslint-plugin-svelte'
import globals from 'globals'
import ts from 'typescript-eslint'
import svelteConfig from './svelte.config.js'

// Imports point one way: base -> game -> parts -> screens -> practice. A folder may
// import from itself and from those before it; practice plays on the real screens.
const floors = ['base', 'game', 'parts', 'screens', 'practice']
const zones = floors.slice(0, -1).map((floor, i) => ({
  target: `./src/${floor}`,
  from: [...floors.slice(i + 1).map((above) => `./src/${above}`), './src/main.ts'],
  message: `${floor} may not know what is built on it`,
}))

export default ts.config(
  { ignores: ['dist/', 'src/base/contract/'] },
  js.configs.recommended,
  ...ts.configs.strict,
  ...svelte.configs.recommended,
  { languageOptions: { globals: globals.browser } },
  {
    files: ['**/*.svelte', '**/*.svelte.ts'],
    languageOptions: {
      parserOptions: { parser: ts.parser, extraFileExtensions: ['.svelte'], svelteConfig },
    },
  },
  {
    plugins: { 'import-x': importX },
    settings: { 'import-x/resolver-next': [createNodeResolver({ extensions: ['.ts', '.d.ts', '.js', '.svelte'] })] },
    rules: {
      'import-x/no-unresolved': ['error', { ignore: ['^\\$messages/', '[?]', '^@fontsource/'] }],
      'import-x/no-restricted-paths': ['error', { basePath: import.meta.dirname, zones }],
    },
  },
  {
    rules: {
      eqeqeq: 'error',
      'max-lines': ['error', 400],
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_' }],
      // Links go to pages of the same program; there is no router to resolve them.
      'svelte/no-navigation-without-resolve': 'off',
    },
  },
)
