"""Times the installed kernel beside ipykernel, in turns: milliseconds from the
start of the process to the reply to kernel_info, milliseconds of a trivial
cell from the request to the reply and to idle, milliseconds and messages of
100,000 printed lines, and megabytes of memory after. Prints one JSON object."""

import json
import socket
import statistics
import sys
import time

from jupyter_client.manager import KernelManager

STARTS, CELLS, PATIENCE = int(sys.argv[1]), int(sys.argv[2]), 60


def wait_for_port(km):
    """A ZeroMQ client that finds no listener tries again only after 100 ms,
    which would hide what the kernel takes."""
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        try:
            socket.create_connection((km.ip, km.shell_port), 1).close()
            return
        except OSError:
            time.sleep(0.001)
    sys.exit("the kernel does not listen")


LINES = {
    "patternkit": 'import "fmt"\nfor i := range 100000 {\n\tfmt.Println("line", i)\n}',
    "python3": "for i in range(100000):\n    print('line', i)",
}


def print_lines(kc, code):
    """Milliseconds until the cell is idle, and the number of messages."""
    begun = time.perf_counter()
    msg_id = kc.execute(code)
    lines, messages = 0, 0
    while True:
        msg = kc.get_iopub_msg(timeout=PATIENCE)
        if msg["parent_header"].get("msg_id") != msg_id:
            continue
        if msg["msg_type"] == "stream":
            messages += 1
            lines += msg["content"]["text"].count("\n")
        if msg["content"].get("execution_state") == "idle":
            break
    took = 1000 * (time.perf_counter() - begun)
    if lines != 100_000:
        sys.exit(f"{lines} lines arrived, want 100000")
    kc.get_shell_msg(timeout=PATIENCE)
    return took, messages


def measure(name, cells):
    km = KernelManager(kernel_name=name)
    begun = time.perf_counter()
    km.start_kernel()
    wait_for_port(km)
    kc = km.blocking_client()
    kc.start_channels()
    kc.kernel_info()
    kc.get_shell_msg(timeout=PATIENCE)
    start = 1000 * (time.perf_counter() - begun)
    kc.wait_for_ready(timeout=PATIENCE)
    to_reply, to_idle = [], []
    for i in range(cells + 5):
        begun = time.perf_counter()
        msg_id = kc.execute("1 + 1")
        kc.get_shell_msg(timeout=PATIENCE)
        replied = time.perf_counter()
        while True:
            msg = kc.get_iopub_msg(timeout=PATIENCE)
            if msg["parent_header"].get("msg_id") == msg_id and msg["content"].get("execution_state") == "idle":
                break
        if i >= 5:  # the first ones warm up
            to_reply.append(1000 * (replied - begun))
            to_idle.append(1000 * (time.perf_counter() - begun))
    with open(f"/proc/{km.provisioner.process.pid}/status") as status:
        memory = next(int(line.split()[1]) / 1000 for line in status if line.startswith("VmRSS:"))
    printed = print_lines(kc, LINES[name])
    kc.stop_channels()
    km.shutdown_kernel(now=True)
    return start, to_reply, to_idle, memory, printed


figures = {}
for turn in range(STARTS):
    for name in ("patternkit", "python3"):
        start, to_reply, to_idle, memory, (took, messages) = measure(name, CELLS if turn == 0 else 0)
        f = figures.setdefault(name, {"start": [], "lines": [], "messages": []})
        f["start"].append(start)
        f["lines"].append(took)
        f["messages"].append(messages)
        if turn == 0:
            f.update(reply=statistics.median(to_reply), idle=statistics.median(to_idle), memory=memory)
for f in figures.values():
    for figure in ("start", "lines", "messages"):
        f[figure] = statistics.median(f[figure])
print(json.dumps(figures))
