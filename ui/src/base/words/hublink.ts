import link from '$messages/en/hublink.json'
import { learn } from './words'

// Imported for what it does, where a bench is paired with a hub.
learn(link)
