"""Types into a jupyter console at a pseudo-terminal and reads what it shows."""

import os
import pty
import re
import select
import sys
import time

PATIENCE = 40


class Console:
    def __init__(self):
        self.pid, self.fd = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm", COLUMNS="100", LINES="40")
            os.execvp("/usr/bin/jupyter", ["jupyter", "console", "--kernel=patternkit"])
        self.seen = ""  # since the last type, without control sequences

    def read(self):
        if not select.select([self.fd], [], [], 0.05)[0]:
            return True
        try:
            data = os.read(self.fd, 65536)
        except OSError:  # the console has ended
            return False
        if b"\x1b[6n" in data:  # it asks where the cursor is
            os.write(self.fd, b"\x1b[1;1R")
        text = data.decode(errors="replace")
        self.seen += re.sub(r"\x1b\[[0-9;?]*[A-Za-z]|[\r\x08]", "", text)
        return True

    def expect(self, *patterns):
        """Waits until each pattern has been shown, in this order."""
        end = time.monotonic() + PATIENCE
        pattern = "(?s)" + ".*".join(patterns)
        while not re.search(pattern, self.seen):
            if time.monotonic() > end or not self.read():
                sys.exit(f"the console did not show {patterns}:\n{self.seen[-3000:]}")

    def type(self, text):
        self.seen = ""
        os.write(self.fd, text.encode())

    def ended(self):
        end = time.monotonic() + PATIENCE
        while self.read():
            if time.monotonic() > end:
                sys.exit(f"the console did not end:\n{self.seen[-3000:]}")
        _, status = os.waitpid(self.pid, 0)
        return os.waitstatus_to_exitcode(status)


# The words by which consoles are left do so until a cell declares them.
for word in ("exit", "quit"):
    console = Console()
    console.expect("Patternkit", r"In \[1\]: ")
    console.type(f"{word} := 3*CM\r")
    console.expect(r"In \[2\]: ")
    console.type(f"{word}\r")
    console.expect(r"Out\[2\]: *3 cm", r"In \[3\]: ")
    console.type({"exit": "quit", "quit": "exit"}[word] + "\r")
    if status := console.ended():
        sys.exit(f"after {word} the console ended with status {status}")

console = Console()
console.expect("Patternkit", r"In \[1\]: ")
console.type("1+1\r")
console.expect(r"Out\[1\]: *2", r"In \[2\]: ")
console.type('Inches("wide")\r')
console.expect("cell 2, line 1:", r"\^\^\^", "no number", r"In \[3\]: ")

# A line that opens a brace is continued, and runs when the brace is closed.
console.type("func double(l Length) Length {\r")
console.expect(r"\.\.\.: ")
console.type("return 2 * l\r")
console.expect(r"\.\.\.: ")
console.type("}\r")
console.expect(r"In \[4\]: ")
console.type("double(3*CM)\r")
console.expect(r"Out\[4\]: *6 cm", r"In \[5\]: ")

console.type('DraftBodice(Body{BustGirth: 92*CM}, BodiceOptions{})\r')
console.expect("cell 5, line 1:", "WaistGirth", r"In \[6\]: ")
console.type('Body{BustGirth: 92*CM}\r')
console.expect(r"Out\[6\]:", "92", r"In \[7\]: ")

# A view that cannot be moved here shows the values it was drawn with.
console.type('hem := Slider("hem", 3*CM, 1*CM, 6*CM)\r')
console.expect(r"In \[8\]: ")
console.type("Live(func() any { return 2 * hem.Value() })\r")
console.expect("hem: 3 cm", "6 cm", r"In \[9\]: ")

console.type('Ask("whose block? ")\r')
console.expect(r"\n *whose block\? ")
console.type("Nell\r")
console.expect("Nell", r"In \[10\]: ")

console.type("\x04")
console.expect("Do you really want to exit")
console.type("y\r")
status = console.ended()
print("the console ended with status", status)
sys.exit(status)
