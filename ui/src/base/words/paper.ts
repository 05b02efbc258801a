import paper from '$messages/en/paper.json'
import { learnSays } from './words'

// Imported for what it does: what is said of rosters comes when the first one was read.
learnSays(paper)
