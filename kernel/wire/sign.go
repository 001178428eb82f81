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

func (s signer) sum(parts [][]byte) []byte {
	h := hmac.New(sha256.New, s.key)
	for _, p := range parts {
		h.Write(p)
	}
	return h.Sum(nil)
}

func (s signer) sign(parts [][]byte) []byte {
	return hex.AppendEncode(nil, s.sum(parts))
}

// check compares in constant time.
func (s signer) check(signature []byte, parts [][]byte) error {
	got := make([]byte, hex.DecodedLen(len(signature)))
	if _, err := hex.Decode(got, signature); err != nil || len(got) != sha256.Size {
		return errors.New("the signature is not 64 hexadecimal digits")
	}
	if !hmac.Equal(got, s.sum(parts)) {
		return errors.New("the signature does not fit the message")
	}
	return nil
}

// memorySize is how many signatures are remembered: as many as Jupyter's own
// implementation does.
const memorySize = 1 << 16

// A replayMemory remembers the last signatures, so that a message that was
// overheard can't be sent again. Every message has an id of its own, so no
// two have the same signature.
type replayMemory struct {
	mu   sync.Mutex
	seen map[string]bool
	ring []string
	next int
}

// fresh reports whether a signature is new, and remembers it.
func (m *replayMemory) fresh(signature []byte) bool {
	m.mu.Lock()
	defer m.mu.Unlock()
	s := string(signature)
	if m.seen[s] {
		return false
	}
	if m.seen == nil {
		m.seen = map[string]bool{}
	}
	m.seen[s] = true
	if len(m.ring) < memorySize {
		m.ring = append(m.ring, s)
		return true
	}
	delete(m.seen, m.ring[m.next])
	m.ring[m.next] = s
	m.next = (m.next + 1) % memorySize
	return true
}
