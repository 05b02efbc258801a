import type { Pace } from '../base/contract/contract'

/** The paces, as they are offered. */
export const paces: Pace[] = ['real', 'fast', 'step']
