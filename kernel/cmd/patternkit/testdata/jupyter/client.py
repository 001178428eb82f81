"""Drives the installed kernel through jupyter_client, as front ends do."""

import os
import queue
import time
import unittest

from jupyter_client.manager import start_new_kernel

PATIENCE = 20


class ClientTests(unittest.TestCase):
    def setUp(self):
        self.km, self.kc = start_new_kernel(kernel_name="patternkit")
        self.addCleanup(self.stop)

    def stop(self):
        self.kc.stop_channels()
        if self.km.is_alive():
            self.km.shutdown_kernel(now=True)

    def outputs(self, msg_id):
        """What a request published, until its idle status."""
        found = []
        while True:
            msg = self.kc.get_iopub_msg(timeout=PATIENCE)
            if msg["parent_header"].get("msg_id") != msg_id:
                continue
            if msg["msg_type"] == "status" and msg["content"]["execution_state"] == "idle":
                return found
            found.append(msg)

    def run_cell(self, code, **options):
        msg_id = self.kc.execute(code, **options)
        outputs = self.outputs(msg_id)
        return self.reply(msg_id), outputs

    def reply(self, msg_id):
        while True:
            msg = self.kc.get_shell_msg(timeout=PATIENCE)
            if msg["parent_header"].get("msg_id") == msg_id:
                return msg["content"]

    def text(self, outputs):
        return [m["content"]["data"]["text/plain"] for m in outputs if m["msg_type"] == "execute_result"]

    def test_kernel_info(self):
        info = self.reply(self.kc.kernel_info())
        self.assertEqual(info["status"], "ok")
        self.assertGreaterEqual(tuple(map(int, info["protocol_version"].split("."))), (5, 3))
        self.assertEqual(info["implementation"], "patternkit")
        self.assertEqual(info["language_info"]["name"], "go")

    def test_execute(self):
        reply, outputs = self.run_cell("6 * CM")
        self.assertEqual((reply["status"], reply["execution_count"]), ("ok", 1))
        self.assertEqual(self.text(outputs), ["6 cm"])
        self.assertEqual([m["msg_type"] for m in outputs], ["status", "execute_input", "execute_result"])
        reply, outputs = self.run_cell("7 * CM", silent=True)
        self.assertEqual(self.text(outputs), [])
        reply, _ = self.run_cell("hem := 3 * CM", user_expressions={"hem": "hem", "lost": "nowhere"})
        self.assertEqual(reply["execution_count"], 2)
        self.assertEqual(reply["user_expressions"]["hem"]["data"]["text/plain"], "3 cm")
        self.assertEqual(reply["user_expressions"]["lost"]["status"], "error")

    def test_error(self):
        reply, outputs = self.run_cell("hem := 3 * CM\nInches(\"wide\")")
        self.assertEqual(reply["status"], "error")
        self.assertEqual([m["msg_type"] for m in outputs][-1], "error")
        content = outputs[-1]["content"]
        self.assertIn("wide", content["evalue"])
        self.assertTrue(all(isinstance(line, str) for line in content["traceback"]))
        self.assertIn("line 2", "\n".join(content["traceback"]))
        self.assertEqual(reply["ename"], content["ename"])

    def test_a_failed_cell_stops_what_waits_behind_it(self):
        ids = [self.kc.execute(code) for code in ("Inches(\"wide\")", "1", "2")]
        self.assertEqual([self.reply(i)["status"] for i in ids], ["error", "aborted", "aborted"])
        ids = [self.kc.execute(code, stop_on_error=False) for code in ("Inches(\"wide\")", "1")]
        self.assertEqual([self.reply(i)["status"] for i in ids], ["error", "ok"])

    def interrupt(self, code):
        msg_id = self.kc.execute(code)
        while True:  # until it runs
            msg = self.kc.get_iopub_msg(timeout=PATIENCE)
            if msg["msg_type"] == "stream":
                break
        begun = time.monotonic()
        self.km.interrupt_kernel()
        reply = self.reply(msg_id)
        took = time.monotonic() - begun
        self.assertEqual(reply["status"], "error")
        self.assertIn("interrupt", reply["ename"].lower())
        return took

    def test_interrupt_by_message(self):
        self.assertEqual(self.km.kernel_spec.interrupt_mode, "message")
        self.run_cell("fitted := 92 * CM")
        for code in ('println("cutting")\nfor {\n}', 'println("waiting")\nselect {}',
                     'import "time"\nprintln("sleeping")\ntime.Sleep(time.Hour)'):
            took = self.interrupt(code)
            print(f"interrupted after {1000 * took:.0f} ms: {code.splitlines()[-1]}")
            self.assertEqual(self.text(self.run_cell("fitted")[1]), ["92 cm"])
        # When nothing runs, an interrupt does nothing. Its reply is awaited: it
        # would be right for one that is still on its way to stop the next cell.
        self.kc.control_channel.send(self.kc.session.msg("interrupt_request", {}))
        self.assertEqual(self.kc.get_control_msg(timeout=PATIENCE)["msg_type"], "interrupt_reply")
        self.assertEqual(self.text(self.run_cell("fitted")[1]), ["92 cm"])

    def test_inspect(self):
        self.run_cell("// hem is what is turned up.\nhem := 3 * CM")
        for code, at, says in (("DraftBodice(body", 4, "BodiceOptions"), ("x := hem", 8, "Length"), ("Slider(", 7, "Slider")):
            reply = self.reply(self.kc.inspect(code, at))
            self.assertTrue(reply["found"], code)
            self.assertIn(says, reply["data"]["text/plain"])
        reply = self.reply(self.kc.inspect("nowhere", 3))
        self.assertEqual((reply["status"], reply["found"], reply["data"]), ("ok", False, {}))

    def test_complete(self):
        self.run_cell("waistline := 74 * CM")
        reply = self.reply(self.kc.complete('x := "ä…𝒜"; waistl', 18))
        self.assertEqual((reply["matches"], reply["cursor_start"], reply["cursor_end"]), (["waistline"], 12, 18))
        reply = self.reply(self.kc.complete("SleeveOptions{Cap", 17))
        self.assertIn("CapHeight", reply["matches"])
        self.assertEqual((reply["cursor_start"], reply["cursor_end"]), (14, 17))

    def test_is_complete(self):
        for code, status in (("1 + 1", "complete"), ("for i := range 3 {", "incomplete"), ("x := := 2", "invalid")):
            reply = self.reply(self.kc.is_complete(code))
            self.assertEqual(reply["status"], status, code)
            if status == "incomplete":
                self.assertIsInstance(reply["indent"], str)

    def test_history(self):
        for code in ("1 * CM", "2 * CM", "3 * CM"):
            self.run_cell(code)
        history = self.reply(self.kc.history(hist_access_type="tail", n=2, output=True))["history"]
        self.assertEqual([h[1:] for h in history], [[2, ["2 * CM", "2 cm"]], [3, ["3 * CM", "3 cm"]]])
        history = self.reply(self.kc.history(hist_access_type="search", pattern="1 ? CM", n=5))["history"]
        self.assertEqual([h[2] for h in history], ["1 * CM"])

    def test_comm_info(self):
        reply = self.reply(self.kc.comm_info())
        self.assertEqual(reply["comms"], {})
        self.run_cell('Live(func() any { return Slider("hem", 3*CM, 1*CM, 6*CM).Value() })')
        reply = self.reply(self.kc.comm_info("jupyter.widget"))
        self.assertTrue(reply["comms"])

    def test_shutdown_ends_the_process(self):
        process = self.km.provisioner.process
        self.km.shutdown_kernel()
        process.wait(PATIENCE)
        self.assertEqual(process.returncode, 0)

    def test_shutdown_while_busy(self):
        self.kc.execute('println("cutting")\nfor {\n}')
        while self.kc.get_iopub_msg(timeout=PATIENCE)["msg_type"] != "stream":
            pass
        process = self.km.provisioner.process
        begun = time.monotonic()
        self.kc.shutdown()
        process.wait(PATIENCE)
        print(f"shut down while busy after {1000 * (time.monotonic() - begun):.0f} ms")
        self.assertEqual(process.returncode, 0)

    def test_restart_forgets(self):
        self.run_cell("hem := 3 * CM")
        self.km.restart_kernel()
        self.kc.wait_for_ready(timeout=PATIENCE)
        reply, _ = self.run_cell("hem")
        self.assertEqual((reply["status"], reply["execution_count"]), ("error", 1))

    def test_input(self):
        msg_id = self.kc.execute('Ask("whose block? ")', allow_stdin=True)
        asked = self.kc.get_stdin_msg(timeout=PATIENCE)
        self.assertEqual(asked["content"], {"prompt": "whose block? ", "password": False})
        self.kc.input("Nell")
        self.assertIn("Nell", self.text(self.outputs(msg_id))[0])
        self.assertEqual(self.reply(msg_id)["status"], "ok")
        reply, _ = self.run_cell('Ask("whose block? ")', allow_stdin=False)
        self.assertEqual(reply["status"], "error")

    def test_many_lines_are_few_messages(self):
        reply, outputs = self.run_cell('import "fmt"\nfor i := range 100000 {\n\tfmt.Println(i)\n}')
        self.assertEqual(reply["status"], "ok")
        texts = [m["content"]["text"] for m in outputs if m["msg_type"] == "stream"]
        print(f"100000 lines in {len(texts)} messages")
        self.assertEqual("".join(texts), "".join(f"{i}\n" for i in range(100000)))
        self.assertLess(len(texts), 50)

    def test_the_folder_is_that_of_the_notebook(self):
        self.run_cell('Save("made-by-client.txt", []byte("x"))')
        self.assertTrue(os.path.exists("made-by-client.txt"))


if __name__ == "__main__":
    unittest.main(verbosity=2)
