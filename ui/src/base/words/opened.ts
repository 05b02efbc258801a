import opened from '$messages/en/opened.json'
import { learn } from './words'

// Imported for what it does: what people open beside the game brings its texts along.
learn(opened)
