"""A learner's own server, under an account of its own, with a home that nobody else reads."""

import asyncio
import os
import pwd
import socket
import subprocess
from pathlib import Path
from typing import Any, Final

from jupyterhub.spawner import LocalProcessSpawner
from traitlets import Unicode
from typing_extensions import override

from labkit.errors import LabkitError
from labkit.hall.copies import SERVER, copy_for
from labkit.hall.kernels import WHERE
from labkit.shell import LOOPBACK, server_options
from labkit.text import trainers_words

_LONGEST_HOME: Final = 60
"""Characters of a home's path: a socket's path may have 107, and the kernel's name takes 45."""

_OF_ONE_MACHINE: Final = (
    "--ServerApp.ip", "--ServerApp.port", "--IdentityProvider", "--ServerApp.open_browser",
    "--ServerApp.use_redirect_file", "--ServerApp.allow_root", "--LabApp.default_url",
    "--LabApp.user_settings_dir", "--KernelManager",
)  # fmt: skip
"""Options that the hub sets otherwise."""


class LearnerSpawner(LocalProcessSpawner):  # type: ignore[misc] # it has no types
    """Starts a learner's server as a process of the learner's account, which is made if need be."""

    port: int  # the hub's own, which has no type
    homes = Unicode().tag(config=True)
    """Folder of the learners' homes."""
    copies = Unicode().tag(config=True)  # socket of the process that is copied

    @override
    async def start(self) -> Any:
        """Make account and home if they aren't there, then start the server."""
        name = self.user.name
        home = await asyncio.to_thread(make_account, name, Path(self.homes))
        with socket.create_server((LOOPBACK, 0), backlog=128) as listening:
            listening.settimeout(0.0)
            self.port = listening.getsockname()[1]
            words = [*learner_options(home), *self.get_args()]
            asked = {"env": self.get_env(), "cwd": str(home), "account": name}
            copy = await asyncio.to_thread(
                copy_for, self.copies, SERVER, words, listening=listening, **asked
            )
        self.pid = copy.pid
        copy.let_go()  # it is the hub's by its number, as after a restart of the hub
        return LOOPBACK, self.port

    @override
    def user_env(self, env: dict[str, str]) -> dict[str, str]:
        """Return the server its own folders, and one thread: the room shares the machine."""
        own = _environment(Path(self.homes) / self.user.name)
        return {**super().user_env(env), **own, WHERE: self.copies}


def _environment(home: Path) -> dict[str, str]:
    return {
        "HOME": str(home),
        "JUPYTER_RUNTIME_DIR": str(home / ".run"),
        "LABKIT_PROGRESS": str(home / "my_progress.toml"),
        **dict.fromkeys(("NUMBA_NUM_THREADS", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1"),
        **trainers_words(),
    }


def learner_options(home: Path, *, copied: bool = True) -> list[str]:
    """Return the options of a learner's server: the lesson view, and kernels without ports.

    The kernels' sockets are in the home, which only the learner enters, so nobody else on the
    machine can talk to them. Kernels that are `copied` come from a process with everything loaded.
    """
    options = server_options(
        root=home, page="", port=0, token="", browser=False, workspaces=home / ".page" / "open"
    )
    ours = ["--KernelProvisionerFactory.default_provisioner_name=labkit-copied"] if copied else []
    return [
        *(one for one in options if not one.startswith(_OF_ONE_MACHINE)),
        f"--LabApp.user_settings_dir={home / '.page'}",
        "--KernelManager.transport=ipc",
        "--ServerApp.terminals_enabled=False",
        "--ServerApp.jpserver_extensions=labkit.lab.home_pages=True",
        *ours,
    ]


def make_account(name: str, homes: Path) -> Path:
    """Make a learner's account and an empty home, unless they are there; return the home."""
    home = homes / name
    if len(str(home)) > _LONGEST_HOME:
        raise LabkitError(f"{homes}: choose a folder with a shorter path for the hall")
    try:
        account = pwd.getpwnam(name)
    except KeyError:
        command = ["useradd", "--system", "--user-group", "--no-create-home",
                   "--home-dir", str(home), "--shell", "/usr/sbin/nologin", name]  # fmt: skip
        done = subprocess.run(command, capture_output=True, text=True, check=False)  # noqa: S603
        if done.returncode != 0:
            raise LabkitError(
                f"{name}: no account can be made: {done.stderr.strip()[:200]}"
            ) from None
        account = pwd.getpwnam(name)
    if account.pw_dir != str(home):
        raise LabkitError(f"{name}: this account has another home; take another name")
    if not home.exists():
        home.mkdir(mode=0o700)
        os.chown(home, account.pw_uid, account.pw_gid)
    return home
