"""Start each kernel by turns; print medians as a table in Markdown."""
import queue
import statistics
import sys
import time

import zmq
from jupyter_client.manager import KernelManager

KERNELS = ["patternkit", "ipykernel", "gophernotes"]
PATIENCE = 60  # seconds


def resident(pid):
    """Resident memory of a process and those it started, in MB."""
    with open(f"/proc/{pid}/status") as status:
        total = sum(int(line.split()[1]) for line in status if line.startswith("VmRSS:")) / 1024
    with open(f"/proc/{pid}/task/{pid}/children") as children:
        return total + sum(resident(int(child)) for child in children.read().split())


def answered(request, reply_from):
    """Wait for the reply to a request and return its content."""
    while True:
        message = reply_from(timeout=PATIENCE)
        if message["parent_header"].get("msg_id") == request:
            return message["content"]


def execute(client):
    """Seconds from sending a cell until its reply and its idle are here."""
    begin = time.perf_counter()
    request = client.execute("1")
    content = answered(request, client.get_shell_msg)
    if content["status"] != "ok":
        raise RuntimeError(f"the cell failed: {content}")
    while True:
        message = client.get_iopub_msg(timeout=PATIENCE)
        if message["parent_header"].get("msg_id") == request and message["content"].get("execution_state") == "idle":
            return time.perf_counter() - begin


def subscribed(client):
    """Run cells until one is heard of: what is published before the
    subscription has arrived is lost."""
    for _ in range(PATIENCE):
        answered(client.execute("1"), client.get_shell_msg)
        try:
            client.get_iopub_msg(timeout=1)
            return
        except queue.Empty:
            pass
    raise RuntimeError("the kernel publishes nothing")


def measure(kernel, context, cells):
    """One start: milliseconds to kernel_info, median milliseconds a cell, MB."""
    begin = time.perf_counter()
    manager = KernelManager(kernel_name=f"bench-{kernel}", context=context)
    manager.start_kernel()
    client = manager.client()
    try:
        client.start_channels(hb=False)
        answered(client.kernel_info(), client.get_shell_msg)
        start = time.perf_counter() - begin
        subscribed(client)
        cell = statistics.median(execute(client) for _ in range(cells))
        return start * 1e3, cell * 1e3, resident(manager.provisioner.process.pid)
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)


def main(starts, cells):
    # A socket that finds nobody listening tries again after 100 ms unless
    # told otherwise, which is longer than some kernels take to start.
    context = zmq.Context()
    context.setsockopt(zmq.RECONNECT_IVL, 1)
    figures = {kernel: [] for kernel in KERNELS}
    for _ in range(starts):
        for kernel in KERNELS:
            figures[kernel].append(measure(kernel, context, cells))
    print(f"medians of {starts} starts of each by turns, {cells} cells after each start\n")
    print("| kernel | start to kernel_info (ms) | trivial execute (ms) | resident memory (MB) |")
    print("|---|---|---|---|")
    for kernel, rows in figures.items():
        start, cell, memory = (statistics.median(column) for column in zip(*rows))
        print(f"| {kernel} | {start:.0f} | {cell:.2f} | {memory:.0f} |")


main(int(sys.argv[1]), int(sys.argv[2]))
