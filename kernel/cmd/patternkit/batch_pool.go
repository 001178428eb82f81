package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"
)

// A task is one run of many.
type task struct {
	name string // the notebook's path or the row's name
	job  runJob
	set  map[string]string // instead of job.set

	stamp *stamp // of a row, which need not run twice
}

// outputs lists what the task is to write.
func (t task) outputs() []string {
	return slices.DeleteFunc([]string{t.job.output, t.job.html}, func(path string) bool { return path == "" })
}

// args are those of the run of one notebook that does the task.
func (t task) args() []string {
	args := []string{"run", "--memory", strconv.Itoa(t.job.reach.memory)}
	if t.job.reach.anyFolder {
		args = append(args, "--any-folder")
	}
	for _, f := range []struct{ flag, value string }{
		{"--output", t.job.output}, {"--html", t.job.html}, {"--save-in", t.job.folder},
	} {
		if f.value != "" {
			args = append(args, f.flag, f.value)
		}
	}
	if t.stamp != nil {
		args = append(args, "--note-loaded", t.stamp.inputs())
	}
	for _, name := range slices.Sorted(maps.Keys(t.set)) {
		args = append(args, "--set", name+"="+t.set[name])
	}
	return append(args, "--", t.job.path)
}

// A result says how a task went.
type result string

const (
	hasRun     result = "ran"
	hasFailed  result = "failed"
	isCurrent  result = "up to date"
	wasStopped result = "stopped"
	isWaiting  result = "not run"
)

// An outcome is a task and how it went.
type outcome struct {
	task
	result  result
	took    time.Duration
	failure string
}

// A pool runs tasks side by side. Each has a process of its own: the ceiling
// on memory then holds for each alone, and nothing that goes wrong in one
// reaches the others.
type pool struct {
	program  string
	jobs     int
	again    bool
	progress io.Writer
}

// run returns the outcomes in the order of the tasks. When ctx is done the
// tasks that run are interrupted and no other is begun.
func (p pool) run(ctx context.Context, tasks []task) []outcome {
	outcomes := make([]outcome, len(tasks))
	next := make(chan int)
	var workers sync.WaitGroup
	var mu sync.Mutex
	ended := 0
	for range min(p.jobs, len(tasks)) {
		workers.Go(func() {
			for i := range next {
				o := p.do(ctx, tasks[i])
				outcomes[i] = o
				mu.Lock()
				ended++
				fmt.Fprintf(p.progress, "%d of %d  %s: %s\n", ended, len(tasks), o.name, o.result)
				mu.Unlock()
			}
		})
	}
	for i := range tasks {
		outcomes[i] = outcome{task: tasks[i], result: isWaiting}
		if ctx.Err() != nil {
			continue
		}
		select {
		case next <- i:
		case <-ctx.Done():
		}
	}
	close(next)
	workers.Wait()
	return outcomes
}

func (p pool) do(ctx context.Context, t task) outcome {
	o := outcome{task: t, result: isWaiting}
	if ctx.Err() != nil {
		return o
	}
	if t.stamp != nil && !p.again && t.stamp.holds(t.outputs()) {
		o.result = isCurrent
		return o
	}
	begun := time.Now()
	o.result = hasRun
	if err := t.prepare(); err != nil {
		o.result, o.failure = hasFailed, err.Error()
		return o
	}
	if message := p.start(ctx, t); message != "" {
		o.result, o.failure = hasFailed, message
		if ctx.Err() != nil {
			o.result = wasStopped
		}
	} else if t.stamp != nil {
		if err := t.stamp.write(); err != nil {
			o.result, o.failure = hasFailed, err.Error()
		}
	}
	o.took = time.Since(begun)
	return o
}

// prepare makes the folders that the task writes to.
func (t task) prepare() error {
	for _, path := range t.outputs() {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return err
		}
	}
	if t.stamp == nil {
		return nil
	}
	return t.stamp.lift()
}

// start runs the task's process to its end and returns why it failed, or "".
func (p pool) start(ctx context.Context, t task) string {
	c := exec.CommandContext(ctx, p.program, t.args()...)
	c.Cancel = func() error {
		if err := c.Process.Signal(os.Interrupt); err != nil {
			return c.Process.Kill() // where there are no interrupts
		}
		return nil
	}
	c.WaitDelay = 10 * time.Second // for a cell that can't be interrupted
	var said bytes.Buffer
	c.Stderr = &said
	err := c.Run()
	if err == nil {
		return ""
	}
	return failureIn(said.String(), t.job.path, err)
}

// failureIn finds the message in what a process said before it ended with err.
func failureIn(said, path string, err error) string {
	const mark = "\npatternkit: "
	if _, message, ok := strings.Cut("\n"+said, mark); ok {
		return strings.TrimPrefix(strings.TrimSpace(message), path+": ")
	}
	// It died without a word of its own, such as when the system killed it.
	lines := slices.DeleteFunc(strings.Split(said, "\n"), func(line string) bool {
		return strings.TrimSpace(line) == "" || strings.HasPrefix(line, "cell ")
	})
	message := "its process ended with " + err.Error()
	if len(lines) > 0 {
		message += ": " + lines[0]
	}
	return message
}
