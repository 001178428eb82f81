package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"

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
			// An interrupt is for the cell that runs, not for the kernel.
			return serve(context.WithoutCancel(c.Context()), c.ErrOrStderr(), file, far)
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
	note := func(err error) { fmt.Fprintln(log, "patternkit:", err) }
	if data, err := dataDir(os.Getenv, os.UserHomeDir); err != nil {
		note(fmt.Errorf("the history is not kept: %w", err))
	} else {
		s.KeepHistory(kernel.OpenHistory(data, note))
	}
	server, err := kernel.NewServer(connection, s.Session, kernel.ServerOptions{
		Log: note, ParentPID: kernel.ParentFromEnvironment(),
	})
	if err != nil {
		return err
	}
	interrupts := make(chan os.Signal, 1)
	signal.Notify(interrupts, os.Interrupt)
	defer signal.Stop(interrupts)
	go func() {
		for range interrupts {
			server.Interrupt()
		}
	}()
	if err := server.Serve(ctx); !errors.Is(err, context.Canceled) {
		return err
	}
	return nil
}

// dataDir is the user's folder for what is to outlast a kernel. On Linux it is
// by the XDG Base Directory Specification; XDG_DATA_HOME counts elsewhere too.
func dataDir(getenv func(string) string, home func() (string, error)) (string, error) {
	if dir := getenv("XDG_DATA_HOME"); filepath.IsAbs(dir) {
		return filepath.Join(dir, "patternkit"), nil
	}
	base, err := home()
	switch {
	case runtime.GOOS == "windows" && getenv("LOCALAPPDATA") != "":
		return filepath.Join(getenv("LOCALAPPDATA"), "patternkit"), nil
	case err != nil:
		return "", err
	case runtime.GOOS == "darwin":
		return filepath.Join(base, "Library", "Application Support", "patternkit"), nil
	}
	return filepath.Join(base, ".local", "share", "patternkit"), nil
}
