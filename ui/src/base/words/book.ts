import book from '$messages/en/book.json'
import audit from '$messages/en/report.json'
import { learn, learnSays } from './words'

// Imported for what it does: the report page brings its texts along.
learn(book)
learnSays(audit)
