package wire

import (
	"encoding/json"
	"fmt"
	"net"
	"os"
)

// A Connection is Jupyter's connection file: where to listen, and the key that
// messages are signed with. A port of 0 is any free port.
type Connection struct {
	Transport       string `json:"transport"`
	IP              string `json:"ip"`
	ShellPort       int    `json:"shell_port"`
	IOPubPort       int    `json:"iopub_port"`
	StdinPort       int    `json:"stdin_port"`
	ControlPort     int    `json:"control_port"`
	HBPort          int    `json:"hb_port"`
	SignatureScheme string `json:"signature_scheme"`
	Key             string `json:"key"`
	KernelName      string `json:"kernel_name,omitempty"`
}

// ReadConnection reads and checks a connection file.
func ReadConnection(path string) (Connection, error) {
	var c Connection
	data, err := os.ReadFile(path)
	if err != nil {
		return c, fmt.Errorf("connection file: %w", err)
	}
	if err := json.Unmarshal(data, &c); err != nil {
		return c, fmt.Errorf("connection file %s: %w", path, err)
	}
	if err := c.Check(); err != nil {
		return c, fmt.Errorf("connection file %s: %w", path, err)
	}
	return c, nil
}

// Check refuses what this package cannot or will not serve: transports other
// than TCP, addresses that other machines reach, and messages without a
// signature.
func (c Connection) Check() error {
	ip := net.ParseIP(c.IP)
	switch {
	case c.Transport != "tcp":
		return fmt.Errorf("transport is %q, want \"tcp\"", c.Transport)
	case ip == nil || !ip.IsLoopback():
		return fmt.Errorf("ip is %q, want 127.0.0.1: whoever reaches the kernel can run code, so it listens on this machine only", c.IP)
	case c.SignatureScheme != "hmac-sha256":
		return fmt.Errorf("signature_scheme is %q, want \"hmac-sha256\"", c.SignatureScheme)
	case c.Key == "":
		return fmt.Errorf("key is empty: without it every program on this machine could run code here; remove Session.key = b'' from Jupyter's configuration")
	}
	for name, port := range c.ports() {
		if *port < 0 || *port > 65535 {
			return fmt.Errorf("%s is %d, want 0 to 65535", name, *port)
		}
	}
	return nil
}

func (c *Connection) ports() map[string]*int {
	return map[string]*int{
		"shell_port": &c.ShellPort, "iopub_port": &c.IOPubPort, "stdin_port": &c.StdinPort,
		"control_port": &c.ControlPort, "hb_port": &c.HBPort,
	}
}
