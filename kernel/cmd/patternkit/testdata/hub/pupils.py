"""Two pupils of a JupyterHub run a lesson at the same time, and each looks for
the other's files. Arguments: the hub's address, a token, the lesson's file."""

import asyncio
import json
import sys
import time
import uuid

from tornado.httpclient import AsyncHTTPClient, HTTPClientError, HTTPRequest
from tornado.websocket import websocket_connect

url, token, lesson = sys.argv[1:]
headers = {"Authorization": "token " + token}
patience = 60


async def ask(path, method="GET", body=None, timeout=patience):
    request = HTTPRequest(url + path, method=method, headers=headers, request_timeout=timeout,
                          body=None if body is None else json.dumps(body))
    reply = await AsyncHTTPClient().fetch(request)
    return json.loads(reply.body) if reply.body else None


async def until(what, condition):
    end = time.monotonic() + patience
    while time.monotonic() < end:
        try:
            if await condition():
                return
        except (OSError, HTTPClientError):
            pass  # not there yet
        await asyncio.sleep(0.1)
    sys.exit(f"it does not happen that {what}")


class Pupil:
    def __init__(self, name, number):
        self.name, self.number = name, number

    async def enter(self):
        """Start the pupil's server by the hub, and a kernel in it."""
        await ask(f"hub/api/users/{self.name}", "POST", {})
        await ask(f"hub/api/users/{self.name}/server", "POST", {})

        async def ready():
            user = await ask(f"hub/api/users/{self.name}")
            return user["servers"].get("", {}).get("ready")

        await until(f"the server of {self.name} is ready", ready)
        kernel = await ask(f"user/{self.name}/api/kernels", "POST", {"name": "patternkit"})
        channel = url.replace("http", "ws", 1) + f"user/{self.name}/api/kernels/{kernel['id']}/channels"
        self.socket = await websocket_connect(HTTPRequest(channel, headers=headers))

    async def run(self, code):
        """Run a cell; return its reply and the text of its outputs."""
        message = uuid.uuid4().hex
        await self.socket.write_message(json.dumps({
            "channel": "shell", "parent_header": {}, "metadata": {}, "buffers": [],
            "header": {"msg_id": message, "msg_type": "execute_request", "username": self.name, "session": self.name,
                       "version": "5.3", "date": "2026-01-01T00:00:00Z"},
            "content": {"code": code, "silent": False, "store_history": True, "user_expressions": {},
                        "allow_stdin": False, "stop_on_error": True}}))
        reply, idle, text = None, False, ""
        while not (reply and idle):
            got = json.loads(await asyncio.wait_for(self.socket.read_message(), patience))
            if got["parent_header"].get("msg_id") != message:
                continue
            kind, content = got["msg_type"], got["content"]
            if kind == "execute_reply":
                reply = content
            elif kind == "status":
                idle = content["execution_state"] == "idle"
            elif kind == "stream":
                text += content["text"]
            elif kind in ("execute_result", "display_data"):
                text += content["data"].get("text/plain", "")
        return reply, text

    async def files(self):
        listing = await ask(f"user/{self.name}/api/contents/")
        return {entry["name"] for entry in listing["content"]}


async def main():
    with open(lesson, encoding="utf-8") as file:
        notebook = json.load(file)
    cells = ["".join(c["source"]) for c in notebook["cells"] if c["cell_type"] == "code"]
    ada, bea = Pupil("ada", 61001), Pupil("bea", 61002)
    await asyncio.gather(ada.enter(), bea.enter())

    # Each cell by both at once, with measurements of their own.
    for cell in cells:
        for pupil, (reply, _) in zip((ada, bea), await asyncio.gather(
                ada.run(cell), bea.run(cell.replace("92 * CM", "101 * CM")))):
            assert reply["status"] == "ok", (pupil.name, cell, reply)
    for pupil, bust in (ada, "92 cm"), (bea, "101 cm"):
        reply, text = await pupil.run("bust")
        assert text == bust, (pupil.name, text)

    # Files stay with whom they belong to.
    for pupil in ada, bea:
        reply, _ = await pupil.run(f'Save("of-{pupil.name}.txt", []byte("{pupil.name}"))')
        assert reply["status"] == "ok", reply
    for pupil, other in (ada, bea), (bea, ada):
        names = await pupil.files()
        assert f"of-{pupil.name}.txt" in names and "pieces.pdf" in names, names
        assert f"of-{other.name}.txt" not in names, names
        reply, text = await pupil.run(f'Load("of-{pupil.name}.txt")')
        assert reply["status"] == "ok", reply
        reply, text = await pupil.run(f'Load("../{other.name}/of-{other.name}.txt")')
        assert reply["status"] == "error", (reply, text)
        print(pupil.name, "is told:", reply["evalue"])
    await asyncio.gather(*(ask(f"hub/api/users/{p.name}/server", "DELETE") for p in (ada, bea)))


asyncio.run(main())
