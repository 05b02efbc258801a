import setup from '$messages/en/setup.json'
import { learn } from './words'

// Imported for what it does: set-up, rosters, seats and help have words that no game needs while it is played.
learn(setup)
