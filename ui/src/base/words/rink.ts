import drill from '$messages/en/drill.json'
import rink from '$messages/en/rink.json'
import { learn, learnSays } from './words'

// Imported for what it does: the moving rink brings its texts along, and what people say beside it.
learn(rink)
learnSays(drill)
