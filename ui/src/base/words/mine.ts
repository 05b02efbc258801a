import mine from '$messages/en/minepage.json'
import { learn } from './words'

// Imported for what it does: the pages that a link opens bring their texts along.
learn(mine)
