"""Runs Jupyter's own kernel tests, with every optional part, against the fake
kernel of the Go tests."""

import unittest

import jupyter_kernel_test


class FakeKernelTests(jupyter_kernel_test.KernelTests):
    kernel_name = "fake"
    language_name = "fake"
    file_extension = ".fake"
    code_hello_world = "print hello, world"
    code_stderr = "warn oh"
    completion_samples = [
        {"text": "pri", "matches": {"print"}},
        {"text": "x prä", "matches": {"präzise"}},
    ]
    complete_code_samples = ["print", "1"]
    incomplete_code_samples = ["for {"]
    invalid_code_samples = ["}"]
    code_generate_error = "fail here"
    code_execute_result = [
        {"code": "one", "result": "one"},
        {"code": "two", "result": "two"},
        {"code": "six", "result": "six"},
    ]
    code_display_data = [{"code": "show this", "mime": "text/html"}]
    code_history_pattern = "tw*"
    supported_history_operations = ("tail", "range", "search")
    code_inspect_sample = "print"
    code_page_something = "page a long table"
    code_clear_output = "clear"

    def test_history(self):
        # The search for three equal inputs needs three of them.
        for _ in range(3):
            self.execute_helper("two")
        super().test_history()


if __name__ == "__main__":
    unittest.main(verbosity=2)
