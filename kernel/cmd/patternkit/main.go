// Command patternkit is the notebook kernel for pattern math and its tools:
//
//	patternkit demo       drafts the first lesson and writes its page and pieces
//	patternkit run        runs notebooks without a front end
//	patternkit install    makes the kernel known to Jupyter
//	patternkit kernel     answers a Jupyter front end (Jupyter starts this)
//
// It holds flags and wiring only: the evaluator, the kernel, the controls and
// the notebook reader do not know each other and are joined here.
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"runtime/debug"

	"github.com/spf13/cobra"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	err := command().ExecuteContext(ctx)
	stop()
	if err == nil {
		return
	}
	var quiet exitError
	if !errors.As(err, &quiet) {
		fmt.Fprintln(terminal{os.Stderr}, "patternkit:", err)
	}
	os.Exit(1)
}

// exitError asks for exit status 1 after everything has been said already.
type exitError struct{ error }

func command() *cobra.Command {
	root := &cobra.Command{
		Use:   "patternkit",
		Short: "A notebook kernel for pattern math: draft, check and print garment pieces",
		Long: "Patternkit drafts garment pieces in notebook cells of Go: a body in, ease and cap height\n" +
			"as numbers, pieces drawn and seams checked, true-scale sheets out.",
		Version:       version(),
		SilenceUsage:  true,
		SilenceErrors: true,
	}
	root.SetOut(terminal{os.Stdout})
	root.SetErr(terminal{os.Stderr})
	root.AddCommand(demoCommand(), runCommand(), installCommand(), uninstallCommand(), kernelCommand())
	return root
}

// version is what the Go tool stamped into the binary.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(devel)"
}
