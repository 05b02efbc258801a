import division from '$messages/en/division.json'
import { learn } from './words'

// Imported for what it does: the form for divisions brings its texts along.
learn(division)
