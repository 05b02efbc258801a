import announce from '$messages/en/announce.json'
import { learnSays } from './words'

// Imported for what it does: only the Voice seat reads these out.
learnSays(announce)
