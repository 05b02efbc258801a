import copies from '$messages/en/copy.json'
import start from '$messages/en/start.json'
import { learn, learnSays } from './words'

// Imported for what it does: what the first page alone says, of copies of games and of names.
learn(start)
learnSays(copies)
