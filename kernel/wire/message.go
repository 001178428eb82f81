package wire

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"unicode/utf8"
)

// ProtocolVersion is the version of the messaging protocol that is spoken.
const ProtocolVersion = "5.3"

// A Channel is one of the sockets that a client sends requests on.
type Channel int

// The channels.
const (
	Shell Channel = iota
	Control
	Stdin
)

func (c Channel) String() string { return [...]string{"shell", "control", "stdin"}[c] }

// A Header says which message it is and who sent it.
type Header struct {
	ID       string `json:"msg_id"`
	Session  string `json:"session"`
	Username string `json:"username"`
	Date     string `json:"date"`
	Type     string `json:"msg_type"`
	Version  string `json:"version"`
}

// A Message is one that arrived: signed with the key, not seen before, and
// with a header of the right types. Its content is an object whose fields are
// still to be read.
type Message struct {
	Channel  Channel
	Header   Header
	ParentID string // msg_id of the parent header, or empty
	Metadata *Fields
	Content  *Fields
	Buffers  [][]byte

	rawHeader  json.RawMessage
	peer       *peer
	identities [][]byte // of proxies between the client and here
}

var delimiter = []byte("<IDS|MSG>")

// parse takes apart the frames of a message: identities, delimiter,
// signature, header, parent header, metadata, content, buffers.
func (s signer) parse(frames [][]byte, memory *replayMemory) (*Message, error) {
	at := -1
	for i, f := range frames {
		if bytes.Equal(f, delimiter) {
			at = i
			break
		}
	}
	if at < 0 || len(frames) < at+6 {
		return nil, fmt.Errorf("a message of %d frames without delimiter, signature and four parts", len(frames))
	}
	signature, parts := frames[at+1], frames[at+2:at+6]
	d, err := s.check(signature, parts)
	if err != nil {
		return nil, err
	}
	m := &Message{identities: frames[:at], Buffers: frames[at+6:], rawHeader: parts[0]}
	if err := m.decode(parts); err != nil {
		return nil, err
	}
	// Only now: the signature is of the parts as one text, and someone who
	// cuts that elsewhere must not use up the signature of the right message.
	if !memory.fresh(d) {
		return nil, errors.New("a message that came before")
	}
	return m, nil
}

func (m *Message) decode(parts [][]byte) error {
	for _, p := range parts {
		if !utf8.Valid(p) {
			return errors.New("a part is not UTF-8")
		}
	}
	header, err := ReadFields("header", parts[0])
	if err != nil {
		return err
	}
	m.Header = Header{
		ID: header.String("msg_id"), Session: header.StringOr("session", ""), Username: header.StringOr("username", ""),
		Date: header.StringOr("date", ""), Type: header.String("msg_type"), Version: header.StringOr("version", ""),
	}
	parent, err := ReadFields("parent_header", parts[1])
	if err != nil {
		return err
	}
	m.ParentID = parent.StringOr("msg_id", "")
	if m.Metadata, err = ReadFields("metadata", parts[2]); err != nil {
		return err
	}
	if err := errors.Join(header.Err(), parent.Err()); err != nil {
		return err
	}
	// A request whose content is no object is answered with an error, which
	// needs its header; so the error is kept in the content.
	if m.Content, err = ReadFields("content", parts[3]); err != nil {
		m.Content = &Fields{err: err}
	}
	return nil
}

// encode writes a value as JSON, without escaping HTML: the drawings in a
// message are markup.
func encode(v any) ([]byte, error) {
	var buf bytes.Buffer
	e := json.NewEncoder(&buf)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(buf.Bytes(), []byte("\n")), nil
}
