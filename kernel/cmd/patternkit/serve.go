package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"patternkit/kernel"
	"patternkit/kernel/wire"
)

func kernelCommand() *cobra.Command {
	var file string
	var far reach
	c := &cobra.Command{
		Use:   "kernel",
		Short: "Answer a Jupyter front end; Jupyter starts this by itself",
		Args:  cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return serve(c.Context(), c.ErrOrStderr(), file, far)
		},
	}
	c.Flags().StringVar(&file, "connection-file", "", "`FILE` in which Jupyter describes the sockets")
	c.MarkFlagRequired("connection-file")
	far.flags(c)
	return c
}

func serve(ctx context.Context, log io.Writer, file string, far reach) error {
	connection, err := wire.ReadConnection(file)
	if err != nil {
		return err
	}
	dir, err := os.Getwd() // Jupyter starts a kernel in its notebook's folder
	if err != nil {
		return err
	}
	s, err := newSession(dir, far)
	if err != nil {
		return err
	}
	server, err := kernel.NewServer(connection, s.Session, kernel.ServerOptions{
		Log:       func(err error) { fmt.Fprintln(log, "patternkit:", err) },
		ParentPID: kernel.ParentFromEnvironment(),
	})
	if err != nil {
		return err
	}
	if err := server.Serve(ctx); !errors.Is(err, context.Canceled) {
		return err
	}
	return nil
}
