// Adds and shows passkeys. Everything else on the hub's pages works without a script.
'use strict'
{
  const bytes = (text) => Uint8Array.from(atob(text.replace(/-/g, '+').replace(/_/g, '/')), (c) => c.charCodeAt(0))
  const text = (buffer) => btoa(String.fromCharCode(...new Uint8Array(buffer))).replace(/\+/g, '-').replace(/\//g, '_').replace(/=+$/, '')
  const named = (list) => (list ?? []).map((one) => ({ ...one, id: bytes(one.id) }))

  const post = async (path, body) => {
    const answer = await fetch(path + location.search, {
      method: 'POST', credentials: 'same-origin', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body),
    })
    if (!answer.headers.get('Content-Type')?.includes('json')) throw new Error('') // a page: the session ended meanwhile
    const said = await answer.json()
    if (!answer.ok) throw new Error(said.detail)
    return said
  }

  const ways = {
    async add(form) {
      const { ticket, options } = await post('/passkey/add/begin', {})
      const made = await navigator.credentials.create({
        publicKey: {
          ...options, challenge: bytes(options.challenge), user: { ...options.user, id: bytes(options.user.id) },
          excludeCredentials: named(options.excludeCredentials),
        },
      })
      return post('/passkey/add', {
        ticket, label: form.elements.namedItem('label').value,
        answer: {
          id: made.id, rawId: text(made.rawId), type: made.type,
          response: { clientDataJSON: text(made.response.clientDataJSON), attestationObject: text(made.response.attestationObject) },
        },
      })
    },
    async show() {
      const { ticket, options } = await post('/passkey/show/begin', {})
      const shown = await navigator.credentials.get({
        publicKey: { ...options, challenge: bytes(options.challenge), allowCredentials: named(options.allowCredentials) },
      })
      const { clientDataJSON, authenticatorData, signature, userHandle } = shown.response
      return post('/passkey/show', {
        ticket,
        answer: {
          id: shown.id, rawId: text(shown.rawId), type: shown.type,
          response: {
            clientDataJSON: text(clientDataJSON), authenticatorData: text(authenticatorData), signature: text(signature),
            userHandle: userHandle ? text(userHandle) : '',
          },
        },
      })
    },
  }

  for (const form of document.querySelectorAll('form[data-passkey]')) {
    form.hidden = false
    form.addEventListener('submit', async (event) => {
      event.preventDefault()
      const said = form.querySelector('[role=alert]')
      const button = form.querySelector('button')
      said.hidden = true
      button.disabled = true
      try {
        const { next } = await ways[form.dataset.passkey](form)
        location.assign(next)
      } catch (error) {
        // What the browser itself says is about the standard, and not for people.
        said.textContent = error instanceof DOMException || !error.message ? form.dataset.failed : error.message
        said.hidden = false
        button.disabled = false
      }
    })
  }
}
