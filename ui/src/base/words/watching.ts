import watching from '$messages/en/watching.json'
import { learn } from './words'

// Imported for what it does: only who watches the game reads these.
learn(watching)
