// Package wire carries Jupyter messages: the connection file, the five sockets
// on the loopback interface, frames, signatures and the strict decoding of
// fields. It knows nothing of what the messages mean.
//
// What arrives may be hostile or broken. It is dropped, counted and reported;
// it never ends the process.
package wire
