import season from '$messages/en/seasonpage.json'
import { learn } from './words'

// Imported for what it does: the pages of the season bring their texts along.
learn(season)
