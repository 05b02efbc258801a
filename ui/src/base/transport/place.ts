/**
 * Where the pages and the API of this page are, below the address of the program: nowhere deeper on a computer of the crew,
 * below its association at a hub.
 */
export const place = typeof location === 'undefined' ? '' : /^\/crew\/[a-z0-9-]+(?=\/)/.exec(location.pathname)?.[0] ?? ''
