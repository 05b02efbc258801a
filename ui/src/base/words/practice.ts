import drill from '$messages/en/drill.json'
import practice from '$messages/en/practice.json'
import { learn, learnSays } from './words'

// Imported for what it does: practice brings its texts along.
learn(practice)
learnSays(drill)
