import type { Speaker } from '../../base/contract/contract'

const pitches: Record<Speaker, number> = { referee: 0.8, captain: 1.1, coach: 0.7, parent: 1.3, player: 1.5 }
const loudness = 0.8 // of what the device is set to

/** Whether this browser can speak at all: the words are always written besides. */
function canSpeak(): boolean {
  return 'speechSynthesis' in window && 'SpeechSynthesisUtterance' in window
}

/** Says words aloud, in a voice of the page's language, each speaker with a pitch of their own. */
export function speak(words: string, by: Speaker): void {
  if (!canSpeak()) return
  const language = document.documentElement.lang || 'en'
  const utterance = new SpeechSynthesisUtterance(words)
  utterance.lang = language
  const voices = speechSynthesis.getVoices().filter((voice) => voice.lang.toLowerCase().startsWith(language.toLowerCase()))
  utterance.voice = voices.find((voice) => voice.localService) ?? voices[0] ?? null
  utterance.pitch = pitches[by]
  utterance.volume = loudness
  // Nobody is heard long after they spoke: what waits gives way to what is new.
  if (speechSynthesis.pending) speechSynthesis.cancel()
  speechSynthesis.speak(utterance)
}

export function hush(): void {
  if (canSpeak()) speechSynthesis.cancel()
}
