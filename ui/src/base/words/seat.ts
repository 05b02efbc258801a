import seat from '$messages/en/seat.json'
import { learn } from './words'

// Imported for what it does: the screens of phones bring their texts along.
learn(seat)
