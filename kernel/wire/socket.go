package wire

import (
	"errors"
	"fmt"
	"net"
	"strconv"
	"sync"
	"time"

	"github.com/go-zeromq/zmq4"
	"github.com/go-zeromq/zmq4/security/null"
)

// A socket is a listening ZeroMQ socket of the kinds that a kernel has.
//
// The handshake and the framing are zmq4's. Its own listening sockets are not
// used, because they shake hands with one peer at a time (a half-open
// connection stops all others), panic on a peer's malformed metadata in a
// goroutine that nobody can guard, and let one subscriber that does not read
// hold up the rest.
type socket struct {
	kind     zmq4.SocketType
	listener net.Listener
	receive  func(p *peer, frames [][]byte)
	dropped  func(error)

	mu     sync.Mutex
	peers  map[*peer]bool
	closed bool
}

// maxPeers limits the connections of one socket: a front end has one.
const maxPeers = 256

func listen(kind zmq4.SocketType, ip string, port int, receive func(*peer, [][]byte), dropped func(error)) (*socket, error) {
	l, err := net.Listen("tcp", net.JoinHostPort(ip, strconv.Itoa(port)))
	if err != nil {
		return nil, err
	}
	return &socket{kind: kind, listener: l, receive: receive, dropped: dropped, peers: map[*peer]bool{}}, nil
}

func (s *socket) port() int { return s.listener.Addr().(*net.TCPAddr).Port }

// accept serves connections until the socket is closed.
func (s *socket) accept() {
	for {
		conn, err := s.listener.Accept()
		switch {
		case errors.Is(err, net.ErrClosed):
			return
		case err != nil: // such as too many open files: let some be closed
			s.dropped(err)
			time.Sleep(50 * time.Millisecond)
		default:
			go s.serve(conn)
		}
	}
}

func (s *socket) serve(conn net.Conn) {
	p := &peer{conn: newGuardedConn(conn), subscriptions: map[string]bool{}}
	p.room = sync.NewCond(&p.mu)
	defer p.close()
	// Counted in before the handshake, so that half-open connections are
	// limited and closed too.
	if !s.add(p) {
		return
	}
	defer s.remove(p)
	if err := s.open(p); err != nil {
		s.dropped(fmt.Errorf("a connection that could not be opened: %w", err))
		return
	}
	go p.write()
	s.read(p)
}

// open shakes hands. zmq4 panics on some malformed metadata.
func (s *socket) open(p *peer) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("handshake: %v", r)
		}
	}()
	p.conn.SetDeadline(time.Now().Add(handshakeTime))
	z, err := zmq4.Open(p.conn, null.Security(), s.kind, nil, true, nil)
	if err != nil {
		return err
	}
	p.conn.SetDeadline(time.Time{})
	p.conn.collect()
	p.mu.Lock()
	defer p.mu.Unlock()
	p.zmtp, p.identity = z, z.Peer.Meta["Identity"]
	return nil
}

func (s *socket) read(p *peer) {
	defer func() {
		if r := recover(); r != nil {
			s.dropped(fmt.Errorf("reading: %v", r))
		}
	}()
	for {
		msg, err := p.zmtp.RecvMsg()
		if err != nil {
			if !p.zmtp.Closed() && !errors.Is(err, net.ErrClosed) {
				s.dropped(err)
			}
			return
		}
		if msg.Type == zmq4.UsrMsg {
			s.receive(p, msg.Frames)
		}
	}
}

func (s *socket) add(p *peer) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed || len(s.peers) >= maxPeers {
		return false
	}
	s.peers[p] = true
	return true
}

func (s *socket) remove(p *peer) {
	s.mu.Lock()
	defer s.mu.Unlock()
	delete(s.peers, p)
}

// each calls f for every peer that is connected.
func (s *socket) each(f func(*peer)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for p := range s.peers {
		f(p)
	}
}

// route returns the connection to answer a peer on: its own, or the one that
// the same client has made since.
func (s *socket) route(p *peer) *peer {
	if !p.isClosed() || p.identity == "" {
		return p
	}
	if q := s.find(p.identity); q != nil {
		return q
	}
	return p
}

// find returns a peer by the identity it gave itself, or nil.
func (s *socket) find(identity string) *peer {
	var found *peer
	s.each(func(p *peer) {
		if p.name() == identity && !p.isClosed() {
			found = p
		}
	})
	return found
}

// close ends the socket, after what is queued was sent or the time is up.
func (s *socket) close(deadline time.Time) {
	s.mu.Lock()
	s.closed = true
	s.mu.Unlock()
	s.listener.Close()
	for time.Now().Before(deadline) && s.queued() {
		time.Sleep(2 * time.Millisecond)
	}
	s.each(func(p *peer) { p.close() })
}

func (s *socket) queued() bool {
	waiting := false
	s.each(func(p *peer) { waiting = waiting || p.queued() })
	return waiting
}
