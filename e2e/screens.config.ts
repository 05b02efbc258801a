import base from './playwright.config.ts'

// Takes the pictures of docs/: those of the screens, and those of the stories.
process.env['STORY_PICTURES'] = 'docs'

export default { ...base, projects: [{ name: 'pictures' }], workers: 1, testMatch: ['screens/*.spec.ts', 'stories/*.spec.ts'] }
