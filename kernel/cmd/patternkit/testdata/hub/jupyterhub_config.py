"""A JupyterHub whose users are numbers of this machine's, each with a home of
its own: like LocalProcessSpawner, but nobody has to be added to the machine."""

import os
import sys

from jupyterhub.spawner import LocalProcessSpawner

homes = os.environ["CLASS_HOMES"]
pupils = {"ada": 61001, "bea": 61002}


class ClassSpawner(LocalProcessSpawner):
    def home(self):
        return os.path.join(homes, self.user.name)

    def user_env(self, env):
        env.update(USER=self.user.name, HOME=self.home(), SHELL="/bin/sh")
        return env

    def make_preexec_fn(self, name):
        number, home = pupils[name], self.home()

        def become():
            os.setgroups([])
            os.setgid(number)
            os.setuid(number)
            os.umask(0o022)
            os.chdir(home)

        return become


c = get_config()  # noqa: F821, given by JupyterHub
c.JupyterHub.bind_url = os.environ["CLASS_URL"]
c.JupyterHub.hub_port = int(os.environ["CLASS_HUB_PORT"])
c.ConfigurableHTTPProxy.api_url = "http://127.0.0.1:" + os.environ["CLASS_PROXY_PORT"]
c.JupyterHub.authenticator_class = "dummy"
c.JupyterHub.spawner_class = ClassSpawner
c.JupyterHub.cleanup_servers = True
c.Spawner.cmd = [sys.executable, "-m", "jupyterhub.singleuser"]
c.Spawner.environment = {
    "JUPYTER_PATH": os.environ["CLASS_JUPYTER_PATH"],
    "JUPYTERHUB_SINGLEUSER_APP": "notebook.notebookapp.NotebookApp",
}
c.JupyterHub.services = [{"name": "teacher", "api_token": os.environ["CLASS_TOKEN"]}]
c.JupyterHub.load_roles = [
    {"name": "teacher", "services": ["teacher"], "scopes": ["admin:users", "admin:servers", "access:servers"]}
]
