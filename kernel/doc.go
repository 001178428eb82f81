// Package kernel answers Jupyter requests for an Evaluator of cells.
//
// A [Session] runs cells: it keeps the execution count and the history, shows
// values by their methods (see [Show]) and hands what a cell prints and shows
// to an [Output]. A [Server] puts a session behind Jupyter's sockets; a runner
// of notebooks drives the same session without any.
//
// The package speaks version 5.3 of the Jupyter messaging protocol,
// https://jupyter-client.readthedocs.io/en/stable/messaging.html.
package kernel
