import devices from '$messages/en/devices.json'
import { learn } from './words'

// Imported for what it does: what bench and device say when they are introduced to each other.
learn(devices)
