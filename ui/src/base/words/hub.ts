import hub from '$messages/en/hubpage.json'
import { learn } from './words'

// Imported for what it does: only the page of a team's link at a hub says these.
learn(hub)
