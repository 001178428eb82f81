package wire

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

func TestConnectionFile(t *testing.T) {
	const good = `{"transport":"tcp","ip":"127.0.0.1","shell_port":1,"iopub_port":2,"stdin_port":3,"control_port":4,"hb_port":5,` +
		`"signature_scheme":"hmac-sha256","key":"k","kernel_name":"x","jupyter_session":"a.ipynb"}`
	file := filepath.Join(t.TempDir(), "c.json")
	read := func(text string) (Connection, error) {
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return ReadConnection(file)
	}
	c, err := read(good)
	want := Connection{Transport: "tcp", IP: "127.0.0.1", ShellPort: 1, IOPubPort: 2, StdinPort: 3, ControlPort: 4, HBPort: 5,
		SignatureScheme: "hmac-sha256", Key: "k", KernelName: "x"}
	if err != nil || c != want {
		t.Errorf("%+v, %v", c, err)
	}
	for _, test := range []struct{ from, to, want string }{
		{`"127.0.0.1"`, `"0.0.0.0"`, `ip is "0.0.0.0", want 127.0.0.1`},
		{`"tcp"`, `"ipc"`, `transport is "ipc", want "tcp"`},
		{`hmac-sha256`, `hmac-md5`, `signature_scheme is "hmac-md5", want "hmac-sha256"`},
		{`"k"`, `""`, "key is empty"},
		{`"shell_port":1`, `"shell_port":70000`, "shell_port is 70000, want 0 to 65535"},
		{`"shell_port":1`, `"shell_port":"1"`, "cannot unmarshal"},
		{`{`, ``, "invalid"},
	} {
		_, err := read(strings.Replace(good, test.from, test.to, 1))
		if err == nil || !strings.Contains(err.Error(), test.want) || !strings.Contains(err.Error(), file) {
			t.Errorf("%s: %v, want the file and %q", test.to, err, test.want)
		}
	}
	if _, err := ReadConnection(file + "x"); err == nil {
		t.Error("a file that is not there is read")
	}
}

func TestSignature(t *testing.T) {
	// RFC 4231, test case 2: the key is "Jefe", the data come in one part or
	// in several.
	const want = "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"
	s := signer{key: []byte("Jefe")}
	for _, parts := range [][][]byte{{[]byte("what do ya want for nothing?")}, {[]byte("what do ya "), nil, []byte("want for nothing?")}} {
		if got := string(s.sign(parts)); got != want {
			t.Errorf("signature %s, want %s", got, want)
		}
		if _, err := s.check([]byte(want), parts); err != nil {
			t.Error(err)
		}
		if _, err := s.check([]byte(strings.ToUpper(want)), parts); err != nil {
			t.Errorf("in capitals: %v", err)
		}
	}
}

func TestReplayMemoryForgetsTheOldest(t *testing.T) {
	var m replayMemory
	signature := func(i int) digest { return digest{byte(i), byte(i >> 8), byte(i >> 16)} }
	for i := range memorySize {
		if !m.fresh(signature(i)) {
			t.Fatalf("signature %d is taken for an old one", i)
		}
	}
	if m.fresh(signature(0)) || m.fresh(signature(memorySize-1)) {
		t.Error("a signature is forgotten too early")
	}
	m.fresh(signature(memorySize))
	if !m.fresh(signature(0)) {
		t.Error("the oldest signature is still remembered")
	}
	if len(m.seen) != memorySize || len(m.ring) != memorySize {
		t.Errorf("%d and %d signatures are kept, want %d", len(m.seen), len(m.ring), memorySize)
	}
}

func TestFields(t *testing.T) {
	f, err := ReadFields("content", []byte(`{"s":"x","b":true,"n":3,"o":{"a":1},"m":{"a":"b"},"null":null}`))
	if err != nil {
		t.Fatal(err)
	}
	if f.String("s") != "x" || !f.BoolOr("b", false) || f.IntOr("n", 0) != 3 || f.ObjectOr("o")["a"] != 1.0 || f.StringsOr("m")["a"] != "b" {
		t.Error("a field is read wrongly")
	}
	if f.StringOr("none", "d") != "d" || f.IntOr("null", 7) != 7 || f.Err() != nil {
		t.Errorf("missing fields: %v", f.Err())
	}
	for _, test := range []struct {
		read func(f *Fields)
		want string
	}{
		{func(f *Fields) { f.String("none") }, "none is missing, want a string"},
		{func(f *Fields) { f.String("null") }, "null is null, want a string"},
		{func(f *Fields) { f.String("n") }, "n is the number 3, want a string"},
		{func(f *Fields) { f.BoolOr("s", true) }, "s is a string, want true or false"},
		{func(f *Fields) { f.IntOr("b", 1) }, "b is true, want a whole number"},
		{func(f *Fields) { f.ObjectOr("s") }, "s is a string, want an object"},
		{func(f *Fields) { f.StringsOr("o") }, `o["a"] is the number 1, want a string`},
	} {
		f, _ := ReadFields("content", []byte(`{"s":"x","b":true,"n":3,"o":{"a":1},"null":null}`))
		test.read(f)
		f.String("none")
		if f.Err() == nil || f.Err().Error() != test.want {
			t.Errorf("%v, want %q", f.Err(), test.want)
		}
	}
	for _, text := range []string{"", "null", "[]", "1", "{", `{"a":}`} {
		if _, err := ReadFields("content", []byte(text)); err == nil || !strings.HasPrefix(err.Error(), "content is ") {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// FuzzParse looks for frames that are taken although their signature does not
// fit, and for panics.
func FuzzParse(f *testing.F) {
	s := signer{key: []byte("k")}
	good := [][]byte{[]byte(`{"msg_id":"1","msg_type":"x"}`), []byte("{}"), []byte("{}"), []byte("{}")}
	join := func(frames [][]byte) []byte { return bytes.Join(frames, []byte{0}) }
	f.Add(join(slices.Concat([][]byte{delimiter, s.sign(good)}, good)), true)
	f.Add(join([][]byte{delimiter}), false)
	f.Fuzz(func(t *testing.T, data []byte, signed bool) {
		frames := bytes.Split(data, []byte{0})
		if signed && len(frames) >= 6 {
			frames[0], frames[1] = delimiter, s.sign(frames[2:6])
		}
		var memory replayMemory
		m, err := s.parse(frames, &memory)
		if err != nil {
			return
		}
		at := slices.IndexFunc(frames, func(f []byte) bool { return bytes.Equal(f, delimiter) })
		if _, err := s.check(frames[at+1], frames[at+2:at+6]); err != nil || m.Header.ID == "" && !bytes.Contains(data, []byte(`""`)) {
			t.Errorf("%q is taken", data)
		}
		frames[at+1] = bytes.ToUpper(frames[at+1])
		if _, err := s.parse(frames, &memory); err == nil {
			t.Errorf("%q is taken twice", data)
		}
	})
}

// FuzzScanner cuts a stream in two ways: what is followed must not depend on
// how the bytes arrive.
func FuzzScanner(f *testing.F) {
	greeting := make([]byte, greetingSize)
	f.Add(append(slices.Clone(greeting), 1, 3, 'a', 'b', 'c', 2, 0, 0, 0, 0, 0, 0, 1, 0), uint8(3))
	f.Add(append(slices.Clone(greeting), 2, 0x7f, 0, 0, 0, 0, 0, 0, 0), uint8(1))
	f.Fuzz(func(t *testing.T, data []byte, size uint8) {
		var whole, parts scanner
		errWhole := whole.feed(data)
		var errParts error
		for piece := range slices.Chunk(data, int(size)+1) {
			if errParts = parts.feed(piece); errParts != nil {
				break
			}
		}
		if (errWhole == nil) != (errParts == nil) {
			t.Fatalf("at once: %v, in parts: %v", errWhole, errParts)
		}
		if errWhole == nil && whole != parts {
			t.Errorf("at once %+v, in parts %+v", whole, parts)
		}
		if whole.size > maxMessage || whole.frames > maxFrames+1 {
			t.Errorf("over the limits: %+v", whole)
		}
	})
}
