import desk from '$messages/en/deskpage.json'
import { learn } from './words'

// Imported for what it does: the pages of the crew's desk bring their texts along.
learn(desk)
