package keyfile

import (
	"crypto/ed25519"
	"crypto/rand"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"fmt"
	"sync"
)

// pemType is that of PKCS #8, which other programs can read as well.
const pemType = "PRIVATE KEY"

// ErrNoKey is returned for a file that is there and holds no key.
var ErrNoKey = errors.New("the file holds no key of the bench")

// File is where the key is kept: only its owner may read it. Read returns nil for
// a file that is not there; Write returns when the file is safe.
type File interface {
	Read() ([]byte, error)
	Write(text []byte) error
}

// Keys is the key of one file. It is safe for use by many goroutines.
type Keys struct {
	file  File
	mutex sync.Mutex
}

// New returns the key of a file, which need not be there yet.
func New(file File) *Keys { return &Keys{file: file} }

// Key returns the key, which is made if there is none. A file that cannot be read
// as a key is an error and stays as it is: a new key in its place would make every
// seal so far look like a stranger's.
func (k *Keys) Key() (ed25519.PrivateKey, error) {
	k.mutex.Lock()
	defer k.mutex.Unlock()
	raw, err := k.file.Read()
	if err != nil {
		return nil, err
	}
	if raw == nil {
		return k.make()
	}
	block, _ := pem.Decode(raw)
	if block == nil || block.Type != pemType {
		return nil, ErrNoKey
	}
	read, err := x509.ParsePKCS8PrivateKey(block.Bytes)
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrNoKey, err)
	}
	key, ok := read.(ed25519.PrivateKey)
	if !ok {
		return nil, ErrNoKey
	}
	return key, nil
}

// make makes the key. It is safe on disk before anything is signed with it.
func (k *Keys) make() (ed25519.PrivateKey, error) {
	_, key, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		return nil, err
	}
	der, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return nil, err
	}
	return key, k.file.Write(pem.EncodeToMemory(&pem.Block{Type: pemType, Bytes: der}))
}
