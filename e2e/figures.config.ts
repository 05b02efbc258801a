import base from './playwright.config.ts'

// Takes the figures of docs/pocket.md. They are looked at by people: none of them passes or fails.
export default { ...base, projects: [{ name: 'figures' }], workers: 1, retries: 0, testMatch: ['figures/*.spec.ts'] }
