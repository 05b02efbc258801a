// The pages that only the league's office sees, as one bundle of their own.
export { default as Schedule } from './Schedule.svelte'
export { default as Suspensions } from './Suspensions.svelte'
export { default as HandIn } from './HandIn.svelte'
export { default as WhatIf } from './WhatIf.svelte'
export { default as Files } from './Files.svelte'
