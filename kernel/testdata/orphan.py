"""Starts the fake kernel, prints its process id once it answers, and waits to
be killed."""

import sys
import time

from jupyter_client.manager import start_new_kernel

km, kc = start_new_kernel(kernel_name="fake")
kc.execute("sleep")
print(km.provisioner.process.pid)
sys.stdout.flush()
time.sleep(600)
