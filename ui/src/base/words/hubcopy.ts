import hub from '$messages/en/hubcopy.json'
import { learnSays } from './words'

// Imported for what it does, when a bench that is paired with a hub says how that stands.
learnSays(hub)
