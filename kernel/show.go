package kernel

import "fmt"

// Show returns v in the forms that its methods give.
func Show(v any) Bundle { return Bundle{"text/plain": fmt.Sprint(v)} }

func showValues(values []any) Bundle { return Show(values[0]) }

func resultText(values []any) string { return fmt.Sprint(values...) }

func showResult(values []any, count int, out Output) error {
	if len(values) > 0 {
		out.Result(count, Display{Data: showValues(values)})
	}
	return nil
}
