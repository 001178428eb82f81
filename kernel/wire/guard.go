package wire

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"net"
	"sync"
	"time"
)

// Limits on what a peer may send in one message. Jupyter's requests are cells
// of text and the positions of sliders; the largest are far below these.
const (
	maxMessage = 16 << 20 // bytes
	maxFrames  = 256

	handshakeTime = 10 * time.Second
	// A large frame must arrive within this time, so that a peer that stalls
	// in the middle does not hold its memory for ever.
	largeFrame     = 64 << 10
	largeFrameTime = 30 * time.Second
)

// A guardedConn stands between a TCP connection and zmq4, which trusts the
// sizes that a peer announces: it follows the ZMTP framing of what is read
// and fails before a size over the limits is believed. Writes are collected
// until flush, so that a message of many frames is one packet.
type guardedConn struct {
	net.Conn
	r    *bufio.Reader
	scan scanner

	mu       sync.Mutex
	w        *bufio.Writer
	collects bool
}

func newGuardedConn(c net.Conn) *guardedConn {
	return &guardedConn{Conn: c, r: bufio.NewReader(c), w: bufio.NewWriterSize(c, 16<<10)}
}

func (c *guardedConn) Read(p []byte) (int, error) {
	n, err := c.r.Read(p)
	wasLarge := c.scan.remaining >= largeFrame
	if err := c.scan.feed(p[:n]); err != nil {
		return 0, err
	}
	// Only when a large frame begins or ends: setting a deadline has its cost.
	switch isLarge := c.scan.remaining >= largeFrame; {
	case isLarge && !wasLarge:
		c.SetReadDeadline(time.Now().Add(largeFrameTime))
	case c.scan.remaining == 0 && c.scan.sawLarge:
		c.scan.sawLarge = false
		c.SetReadDeadline(time.Time{})
	}
	return n, err
}

// Write passes the handshake on at once and collects messages.
func (c *guardedConn) Write(p []byte) (int, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	n, err := c.w.Write(p)
	if err == nil && !c.collects {
		err = c.w.Flush()
	}
	return n, err
}

func (c *guardedConn) collect() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.collects = true
}

func (c *guardedConn) flush() error {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.w.Flush()
}

const greetingSize = 64

// Flags of a frame, https://rfc.zeromq.org/spec/23/.
const (
	flagMore = 1 << iota
	flagLong
)

// A scanner follows ZMTP 3.0: a greeting of 64 bytes, then frames of a flag
// byte, a size of one or eight bytes, and a body.
type scanner struct {
	greeted   int // bytes of the greeting seen
	header    [9]byte
	got       int    // bytes of the header seen
	remaining uint64 // bytes of the body to come
	inBody    bool
	sawLarge  bool

	size   uint64 // bytes of the message's bodies
	frames int
}

func (s *scanner) feed(p []byte) error {
	if s.greeted < greetingSize {
		n := min(len(p), greetingSize-s.greeted)
		s.greeted += n
		p = p[n:]
	}
	for len(p) > 0 {
		if s.inBody {
			n := min(uint64(len(p)), s.remaining)
			s.remaining -= n
			s.inBody = s.remaining > 0
			p = p[n:]
			continue
		}
		s.header[s.got] = p[0]
		s.got++
		p = p[1:]
		if s.got < s.headerSize() {
			continue
		}
		if err := s.begin(); err != nil {
			return err
		}
	}
	return nil
}

func (s *scanner) headerSize() int {
	if s.header[0]&flagLong != 0 {
		return 9
	}
	return 2
}

// begin takes a complete header.
func (s *scanner) begin() error {
	size := uint64(s.header[1])
	if s.header[0]&flagLong != 0 {
		size = binary.BigEndian.Uint64(s.header[1:])
	}
	s.got = 0
	s.frames++
	if size > maxMessage || s.size+size > maxMessage {
		return fmt.Errorf("a message of more than %d bytes", maxMessage)
	}
	if s.frames > maxFrames {
		return fmt.Errorf("a message of more than %d frames", maxFrames)
	}
	s.size += size
	s.remaining, s.inBody = size, size > 0
	s.sawLarge = s.sawLarge || size >= largeFrame
	if s.header[0]&flagMore == 0 {
		s.size, s.frames = 0, 0
	}
	return nil
}
