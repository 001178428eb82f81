package wire

import (
	"crypto/rand"
	"errors"
	"fmt"
	"os"
	"sync/atomic"
	"time"
	"unicode/utf8"

	"github.com/go-zeromq/zmq4"
)

// Sockets are the five sockets of a kernel: requests come in on shell and
// control, answers to questions on stdin, outputs go to everybody on iopub,
// and the heartbeat sends back what it gets. All methods may be called from
// several goroutines; none but WaitRoom waits for a peer.
type Sockets struct {
	connection Connection
	routers    [3]*socket // by Channel
	iopub, hb  *socket
	incoming   [3]chan *Message
	done       chan struct{}

	signer  signer
	memory  replayMemory
	session string
	user    string
	sent    atomic.Int64
	dropped atomic.Int64
	report  func(error)
}

// queued is how many messages of a channel wait to be handled before their
// clients have to.
const queued = 256

// Listen opens the sockets. report is told of messages and connections that
// were dropped: the first, the second, the fourth, and so on, so that a
// hostile client does not fill a log.
func Listen(c Connection, report func(error)) (*Sockets, error) {
	if err := c.Check(); err != nil {
		return nil, fmt.Errorf("connection: %w", err)
	}
	s := &Sockets{
		connection: c, done: make(chan struct{}), signer: signer{key: []byte(c.Key)},
		session: rand.Text(), user: userName(), report: report,
	}
	for ch := range s.incoming {
		s.incoming[ch] = make(chan *Message, queued)
	}
	if err := s.listen(); err != nil {
		s.Close(0)
		return nil, err
	}
	for _, socket := range s.all() {
		go socket.accept()
	}
	return s, nil
}

// userName is what headers say of the kernel's user. It is not to be relied
// on for anything.
func userName() string {
	for _, name := range []string{"USER", "LOGNAME", "USERNAME"} {
		if v := os.Getenv(name); v != "" {
			return v
		}
	}
	return "kernel"
}

func (s *Sockets) listen() error {
	c := &s.connection
	open := []struct {
		at      **socket
		name    string
		kind    zmq4.SocketType
		port    *int
		receive func(*peer, [][]byte)
	}{
		{&s.routers[Shell], "shell", zmq4.Router, &c.ShellPort, s.take(Shell)},
		{&s.routers[Control], "control", zmq4.Router, &c.ControlPort, s.take(Control)},
		{&s.routers[Stdin], "stdin", zmq4.Router, &c.StdinPort, s.take(Stdin)},
		{&s.iopub, "iopub", zmq4.Pub, &c.IOPubPort, s.subscribe},
		{&s.hb, "heartbeat", zmq4.Rep, &c.HBPort, (*peer).send},
	}
	for _, o := range open {
		socket, err := listen(o.kind, c.IP, *o.port, o.receive, s.drop)
		if err != nil {
			return fmt.Errorf("the %s socket: %w", o.name, err)
		}
		*o.at, *o.port = socket, socket.port()
	}
	return nil
}

func (s *Sockets) all() []*socket {
	var open []*socket
	for _, socket := range append(s.routers[:], s.iopub, s.hb) {
		if socket != nil {
			open = append(open, socket)
		}
	}
	return open
}

// take returns what a channel does with the frames it receives.
func (s *Sockets) take(ch Channel) func(*peer, [][]byte) {
	return func(p *peer, frames [][]byte) {
		m, err := s.signer.parse(frames, &s.memory)
		if err != nil {
			s.drop(fmt.Errorf("%s: %w", ch, err))
			return
		}
		m.Channel, m.peer = ch, p
		select {
		case s.incoming[ch] <- m:
		case <-s.done:
		}
	}
}

// subscribe tells a subscriber that its subscription counts from now on: what
// was published before is not to be waited for.
func (s *Sockets) subscribe(p *peer, frames [][]byte) {
	// Under the socket's lock, so that nothing is published in between.
	s.iopub.each(func(each *peer) {
		if each != p {
			return
		}
		prefix, begun := p.subscribe(frames)
		if !begun || !utf8.ValidString(prefix) {
			return
		}
		welcome, err := s.frames([][]byte{[]byte(prefix)}, nil, "iopub_welcome", map[string]any{"subscription": prefix}, nil)
		if err != nil {
			s.drop(err)
			return
		}
		p.send(welcome)
	})
}

func (s *Sockets) drop(err error) {
	n := s.dropped.Add(1)
	if n&(n-1) == 0 && s.report != nil {
		s.report(fmt.Errorf("dropped (%d so far): %w", n, err))
	}
}

// Dropped returns how many messages and connections were dropped.
func (s *Sockets) Dropped() int { return int(s.dropped.Load()) }

// Connection returns the connection with the ports in use.
func (s *Sockets) Connection() Connection { return s.connection }

// Messages returns the channel on which the messages of ch arrive. It is
// never closed.
func (s *Sockets) Messages(ch Channel) <-chan *Message { return s.incoming[ch] }

// Reply answers a message on the channel it came from.
func (s *Sockets) Reply(to *Message, kind string, content any) error {
	frames, err := s.frames(to.identities, to, kind, content, nil)
	if err != nil {
		return err
	}
	router := s.routers[to.Channel]
	router.route(to.peer).send(frames)
	return nil
}

// Publish sends an output to every subscriber. The parent, which may be nil,
// is the message that caused it.
func (s *Sockets) Publish(parent *Message, kind string, content, metadata any) error {
	frames, err := s.frames([][]byte{[]byte("kernel." + s.session + "." + kind)}, parent, kind, content, metadata)
	if err != nil {
		return err
	}
	topic := string(frames[0])
	// Under the socket's lock, so that all subscribers see one order.
	s.iopub.each(func(p *peer) {
		if p.wants(topic) {
			p.send(frames)
		}
	})
	return nil
}

// WaitRoom waits while a subscriber is far behind in reading outputs. Who
// publishes without end calls it before each message.
func (s *Sockets) WaitRoom() {
	var slow []*peer
	s.iopub.each(func(p *peer) { slow = append(slow, p) })
	for _, p := range slow {
		p.waitRoom()
	}
}

// Subscribers returns how many clients listen to outputs.
func (s *Sockets) Subscribers() int {
	n := 0
	s.iopub.each(func(p *peer) {
		if p.wants("") {
			n++
		}
	})
	return n
}

// Ask sends a question to the client that sent the parent, on stdin. The
// answer comes as a message of the Stdin channel; its ParentID is the id that
// Ask returns.
func (s *Sockets) Ask(parent *Message, kind string, content any) (id string, err error) {
	p := s.routers[Stdin].find(parent.peer.name())
	if p == nil || p.name() == "" {
		return "", errors.New("the front end has opened no connection to answer questions on")
	}
	frames, id, err := s.framesID(parent.identities, parent, kind, content, nil)
	if err != nil {
		return "", err
	}
	p.send(frames)
	return id, nil
}

func (s *Sockets) frames(identities [][]byte, parent *Message, kind string, content, metadata any) ([][]byte, error) {
	frames, _, err := s.framesID(identities, parent, kind, content, metadata)
	return frames, err
}

func (s *Sockets) framesID(identities [][]byte, parent *Message, kind string, content, metadata any) ([][]byte, string, error) {
	h := Header{
		ID: fmt.Sprintf("%s_%d", s.session, s.sent.Add(1)), Session: s.session, Username: s.user,
		Date: time.Now().UTC().Format("2006-01-02T15:04:05.000000Z"), Type: kind, Version: ProtocolVersion,
	}
	header, err := encode(h)
	if err != nil {
		return nil, "", err
	}
	parentHeader, meta := []byte("{}"), []byte("{}")
	if parent != nil {
		parentHeader = parent.rawHeader
	}
	if metadata != nil {
		if meta, err = encode(metadata); err != nil {
			return nil, "", fmt.Errorf("metadata of %s: %w", kind, err)
		}
	}
	body, err := encode(content)
	if err != nil {
		return nil, "", fmt.Errorf("content of %s: %w", kind, err)
	}
	parts := [][]byte{header, parentHeader, meta, body}
	frames := make([][]byte, 0, len(identities)+6)
	frames = append(frames, identities...)
	frames = append(frames, delimiter, s.signer.sign(parts))
	return append(frames, parts...), h.ID, nil
}

// Close ends the sockets. What is queued has until linger to be sent.
func (s *Sockets) Close(linger time.Duration) {
	select {
	case <-s.done:
		return
	default:
		close(s.done)
	}
	deadline := time.Now().Add(linger)
	for _, socket := range s.all() {
		socket.close(deadline)
	}
}
