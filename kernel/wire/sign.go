package wire

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"sync"
)

// A signer makes and checks the HMAC-SHA256 signatures of messages.
type signer struct{ key []byte }

// A digest is a signature before it is written in hexadecimal digits.
type digest [sha256.Size]byte

func (s signer) sum(parts [][]byte) (d digest) {
	h := hmac.New(sha256.New, s.key)
	for _, p := range parts {
		h.Write(p)
	}
	h.Sum(d[:0])
	return d
}

func (s signer) sign(parts [][]byte) []byte {
	d := s.sum(parts)
	return hex.AppendEncode(nil, d[:])
}

// check returns the digest of a signature that fits. It compares in constant
// time.
func (s signer) check(signature []byte, parts [][]byte) (digest, error) {
	got := make([]byte, hex.DecodedLen(len(signature)))
	want := s.sum(parts)
	if _, err := hex.Decode(got, signature); err != nil || len(got) != len(want) {
		return digest{}, errors.New("the signature is not 64 hexadecimal digits")
	}
	if !hmac.Equal(got, want[:]) {
		return digest{}, errors.New("the signature does not fit the message")
	}
	return want, nil
}

// memorySize is how many signatures are remembered: as many as Jupyter's own
// implementation does.
const memorySize = 1 << 16

// A replayMemory remembers the last signatures, so that a message that was
// overheard can't be sent again. Every message has an id of its own, so no
// two have the same signature. Digests are kept, for a signature may be
// written in small letters or in capitals.
type replayMemory struct {
	mu   sync.Mutex
	seen map[digest]struct{}
	ring []digest
	next int
}

// fresh reports whether a signature is new, and remembers it.
func (m *replayMemory) fresh(d digest) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	if _, old := m.seen[d]; old {
		return false
	}
	if m.seen == nil {
		m.seen = map[digest]struct{}{}
	}
	m.seen[d] = struct{}{}
	if len(m.ring) < memorySize {
		m.ring = append(m.ring, d)
		return true
	}
	delete(m.seen, m.ring[m.next])
	m.ring[m.next] = d
	m.next = (m.next + 1) % memorySize
	return true
}
