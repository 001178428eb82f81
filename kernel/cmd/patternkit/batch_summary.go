package main

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// A summary is how the tasks of a batch went.
type summary struct {
	outcomes []outcome
	rows     bool // of a table
}

// report writes the table of outcomes and returns an error that names each
// failure, and what an interrupt left undone.
func (s summary) report(out io.Writer) error {
	what := "notebook"
	if s.rows {
		what = "row"
	}
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	fmt.Fprintf(w, "\n%s\tresult\tseconds\tremark\n", what)
	for _, o := range s.outcomes {
		seconds := ""
		if o.took > 0 {
			seconds = fmt.Sprintf("%7.2f", o.took.Seconds())
		}
		fmt.Fprintf(w, "%s\t%s\t%s\t%s\n", o.name, o.result, seconds, remark(o))
	}
	if err := w.Flush(); err != nil {
		return err
	}
	fmt.Fprintf(out, "\n%s\n", s.counts(what))
	return s.failure()
}

// remark is what the table says beside an outcome: where a failed run
// stopped, or else what was written.
func remark(o outcome) string {
	if o.failure == "" {
		if o.result == isWaiting {
			return ""
		}
		return strings.Join(o.outputs(), ", ")
	}
	line, _, _ := strings.Cut(o.failure, "\n")
	if r := []rune(line); len(r) > 90 {
		return string(r[:89]) + "…"
	}
	return line
}

func (s summary) count(r result) int {
	n := 0
	for _, o := range s.outcomes {
		if o.result == r {
			n++
		}
	}
	return n
}

// counts says in a line how many went which way.
func (s summary) counts(what string) string {
	if len(s.outcomes) != 1 {
		what += "s"
	}
	parts := []string{}
	for _, r := range []result{hasRun, isCurrent, hasFailed, wasStopped, isWaiting} {
		if n := s.count(r); n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, r))
		}
	}
	return fmt.Sprintf("%d %s: %s", len(s.outcomes), what, strings.Join(parts, ", "))
}

func (s summary) failure() error {
	var message strings.Builder
	if n := s.count(hasFailed); n > 0 {
		fmt.Fprintf(&message, "%d of %d failed:", n, len(s.outcomes))
		for _, o := range s.outcomes {
			if o.result == hasFailed {
				fmt.Fprintf(&message, "\n  %s: %s", o.name, strings.ReplaceAll(o.failure, "\n", "\n    "))
			}
		}
	}
	undone := s.count(wasStopped) + s.count(isWaiting)
	switch {
	case undone == 0 && message.Len() == 0:
		return nil
	case undone == 0:
		return errors.New(message.String())
	case message.Len() > 0:
		message.WriteString("\n")
	}
	fmt.Fprintf(&message, "interrupted, with %d of %d left", undone, len(s.outcomes))
	if s.rows {
		message.WriteString("; the same command goes on with them")
	}
	return errors.New(message.String())
}
