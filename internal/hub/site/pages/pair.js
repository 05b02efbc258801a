// What stands behind the # of a link is told to no server, so the page itself hands it on.
const secret = location.hash.slice(1)
const here = document.getElementById('here')
here.href += '#pair/' + encodeURIComponent(secret)
here.hidden = secret === ''
document.getElementById('cut').hidden = secret !== ''
