"""Jupyter's own kernel tests with every optional part."""

import unittest

import jupyter_kernel_test


class PatternkitKernelTests(jupyter_kernel_test.KernelTests):
    kernel_name = "patternkit"
    language_name = "go"
    file_extension = ".go"
    code_hello_world = 'import "fmt"\nfmt.Println("hello, world")'
    code_stderr = 'println("mind the pins")'
    completion_samples = [
        {"text": "DraftBod", "matches": {"DraftBodice"}},
        {"text": "SleeveOptions{CapH", "matches": {"CapHeight"}},
    ]
    complete_code_samples = ["1", "1 + 1", "func double(l Length) Length {\n\treturn 2 * l\n}", "DraftBodice"]
    incomplete_code_samples = ["func double(l Length) Length {", "for {", "(1 +", "s := `open"]
    invalid_code_samples = ["}", "func )", "x := := 1"]
    code_generate_error = 'DraftSleeve(Armhole{}, SleeveOptions{})'
    code_execute_result = [
        {"code": "6 * 7", "result": "42"},
        {"code": "6 * CM", "result": "6 cm"},
        {"code": "Inches(\"1 5/8\")", "result": "4.13 cm"},
    ]
    code_display_data = [
        {"code": "Show(Body{BustGirth: 92 * CM})", "mime": "text/html"},
        {"code": "Live(func() any { return 92 * CM })", "mime": "text/plain"},
    ]
    code_history_pattern = "6 * C?"
    supported_history_operations = ("tail", "range", "search")
    code_inspect_sample = "DraftBodice"
    code_page_something = "Aside(Body{BustGirth: 92 * CM})"
    code_clear_output = 'import "fmt"\nfmt.Println("pinned")\nClearOutput(false)'

    def test_history(self):
        # The search for three equal inputs needs three of them.
        for _ in range(3):
            self.execute_helper("6 * CM")
        super().test_history()


if __name__ == "__main__":
    unittest.main(verbosity=2)
