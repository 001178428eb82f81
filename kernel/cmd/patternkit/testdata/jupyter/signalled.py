"""A kernel gets SIGINT while a cell runs; a second one has its history."""
import signal

from jupyter_client.manager import start_new_kernel

m, c = start_new_kernel(kernel_name="patternkit")
try:
    c.execute("for {\n}")
    while c.get_iopub_msg(timeout=20)["msg_type"] != "execute_input":
        pass
    m.provisioner.process.send_signal(signal.SIGINT)
    reply = c.get_shell_msg(timeout=20)
    assert reply["content"]["status"] == "error", reply["content"]
    reply = c.execute_interactive("6*7", timeout=20)
    assert reply["content"]["status"] == "ok", reply["content"]
finally:
    c.stop_channels()
    m.shutdown_kernel()
m, c = start_new_kernel(kernel_name="patternkit")
try:
    c.history(hist_access_type="range", session=-1, start=0, stop=0, output=True)
    history = c.get_shell_msg(timeout=20)["content"]["history"]
    print([cell for _, _, cell in history])
finally:
    c.stop_channels()
    m.shutdown_kernel()
