import site from '$messages/en/site.json'
import { learn } from './words'

// Imported for what it does: the practice site brings the texts of its loading along.
learn(site)
