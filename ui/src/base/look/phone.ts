import { MediaQuery } from 'svelte/reactivity'

/** The windows that are laid out for a phone: narrow, or low and not wide. Style sheets say the same. */
export const phone = new MediaQuery('(max-width: 700px), (max-width: 900px) and (max-height: 600px)', false)

/** A phone that is held upright: one bar at the bottom, and while a call is built the picture is two lines. */
export const upright = new MediaQuery('(max-width: 700px) and (min-height: 500px)', false)
