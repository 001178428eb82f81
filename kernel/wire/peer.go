package wire

import (
	"strings"
	"sync"
	"time"

	"github.com/go-zeromq/zmq4"
)

// A peer that reads slower than the kernel writes has its output queued. Past
// fullQueue, who can wait waits for it (see waitRoom); past maxQueue, or after
// stallTime without a byte taken, it is taken for dead.
const (
	fullQueue = 8 << 20
	maxQueue  = 128 << 20
	stallTime = 15 * time.Second
)

// A peer is one connection of a client.
type peer struct {
	conn     *guardedConn
	zmtp     *zmq4.Conn // set once, before anything is sent or received
	identity string

	mu            sync.Mutex
	room          *sync.Cond // signalled when the queue or closed changes
	queue         [][][]byte
	size          int // bytes queued or being sent
	closed        bool
	subscriptions map[string]bool
}

// send queues a message. It never waits.
func (p *peer) send(frames [][]byte) {
	n := 0
	for _, f := range frames {
		n += len(f)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed || p.zmtp == nil {
		return
	}
	if p.size+n > maxQueue {
		p.closeLocked()
		return
	}
	p.queue = append(p.queue, frames)
	p.size += n + 1
	p.room.Broadcast()
}

// write sends what is queued until the peer is closed.
func (p *peer) write() {
	for {
		frames := p.next()
		if frames == nil {
			return
		}
		p.conn.SetWriteDeadline(time.Now().Add(stallTime))
		err := p.zmtp.SendMsg(zmq4.NewMsgFrom(frames...))
		if err == nil && p.last() {
			err = p.conn.flush()
		}
		p.sent(frames)
		if err != nil {
			p.close()
			return
		}
	}
}

// next waits for a message to send; nil when the peer is closed.
func (p *peer) next() [][]byte {
	p.mu.Lock()
	defer p.mu.Unlock()
	for len(p.queue) == 0 && !p.closed {
		p.room.Wait()
	}
	if p.closed {
		return nil
	}
	frames := p.queue[0]
	p.queue[0] = nil
	p.queue = p.queue[1:]
	return frames
}

// last reports whether nothing waits behind the message being sent.
func (p *peer) last() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return len(p.queue) == 0
}

func (p *peer) sent(frames [][]byte) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, f := range frames {
		p.size -= len(f)
	}
	p.size--
	p.room.Broadcast()
}

// waitRoom waits until the queue is no longer full or the peer is closed.
func (p *peer) waitRoom() {
	p.mu.Lock()
	defer p.mu.Unlock()
	for p.size > fullQueue && !p.closed {
		p.room.Wait()
	}
}

func (p *peer) queued() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return !p.closed && p.size > 0
}

func (p *peer) name() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.identity
}

func (p *peer) isClosed() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.closed
}

func (p *peer) close() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.closeLocked()
}

func (p *peer) closeLocked() {
	p.closed = true
	p.conn.Close()
	p.room.Broadcast()
}

// maxSubscriptions limits what one subscriber is remembered for.
const maxSubscriptions = 64

// subscribe takes a subscriber's frame: 1 or 0, then a prefix of topics. It
// returns a prefix that is subscribed to from now on.
func (p *peer) subscribe(frames [][]byte) (prefix string, begun bool) {
	if len(frames) != 1 || len(frames[0]) == 0 || len(frames[0]) > 256 {
		return "", false
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	prefix = string(frames[0][1:])
	switch {
	case frames[0][0] == 0:
		delete(p.subscriptions, prefix)
	case frames[0][0] == 1 && len(p.subscriptions) < maxSubscriptions:
		begun = !p.subscriptions[prefix]
		p.subscriptions[prefix] = true
	}
	return prefix, begun
}

func (p *peer) wants(topic string) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	for prefix := range p.subscriptions {
		if strings.HasPrefix(topic, prefix) {
			return true
		}
	}
	return false
}
