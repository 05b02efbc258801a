import pocket from '$messages/en/pocket.json'
import { learn } from './words'

// Imported for what it does: what the pages of a bench in the browser alone say.
learn(pocket)
