package suite_test

import (
	"context"
	"errors"
	"io"
	"time"

	"patternkit/kernel/gocell"
)

type session = gocell.Session

func newSession(out io.Writer) (*session, error) {
	return gocell.New(gocell.Options{Stdout: out, Stderr: out})
}

// evalValues runs a cell and gives up after limit.
func evalValues(s *session, cell string, limit time.Duration) ([]any, error) {
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	return s.Eval(ctx, cell)
}

func evalFor(s *session, cell string, limit time.Duration) error {
	_, err := evalValues(s, cell, limit)
	return err
}

// isPanic reports whether the cell's own code panicked.
func isPanic(err error) bool {
	var e *gocell.Error
	return errors.As(err, &e) && e.Kind == gocell.Panicked
}
