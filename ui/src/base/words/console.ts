import consoleTexts from '$messages/en/console.json'
import says from '$messages/en/consolesay.json'
import { learn, learnSays } from './words'

// Imported for what it does: the pages of the rink's own console bring their texts along.
learn(consoleTexts)
learnSays(says)
