// The pages that a link opens, without an account, as one bundle.
export { default as Mine } from './Mine.svelte'
export { default as Team } from './Team.svelte'
