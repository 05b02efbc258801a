import drill from '$messages/en/drill.json'
import progress from '$messages/en/progress.json'
import { learn, learnSays } from './words'

// Imported for what it does: the pages around practice bring their texts along.
learn(progress)
learnSays(drill)
