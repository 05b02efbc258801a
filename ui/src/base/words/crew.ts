import crew from '$messages/en/crew.json'
import { learn } from './words'

// Imported for what it does: the screens of the seats bring their texts along.
learn(crew)
