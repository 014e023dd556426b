"""A learner's own server, under an account of its own, with a home that nobody else reads."""

import asyncio
import os
import pwd
import subprocess
import sys
from pathlib import Path
from typing import Any, Final

from jupyterhub.spawner import LocalProcessSpawner
from traitlets import Unicode
from typing_extensions import override

from labkit.errors import LabkitError
from labkit.shell import server_options

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

    homes = Unicode(help="Folder of the learners' homes.").tag(config=True)
    compiled = Unicode(help="What the engine compiled to, to copy into a home.").tag(config=True)

    @override
    async def start(self) -> Any:
        """Make account and home if they aren't there, then start the server."""
        name = self.user.name
        home = await asyncio.to_thread(make_account, name, Path(self.homes))
        await asyncio.to_thread(_furnish, name, home, self.compiled)
        # By the full name of this Python: learners' accounts have a path of their own.
        self.cmd, self.args = [sys.executable, "-m", "jupyterhub.singleuser"], learner_options(home)
        return await super().start()

    @override
    def user_env(self, env: dict[str, str]) -> dict[str, str]:
        """Give the server its own folders, and one thread: the room shares the machine."""
        return {**super().user_env(env), **_environment(Path(self.homes) / self.user.name)}


def _environment(home: Path) -> dict[str, str]:
    return {
        "HOME": str(home),
        "JUPYTER_RUNTIME_DIR": str(home / ".run"),
        "LABKIT_PROGRESS": str(home / "my_progress.toml"),
        **dict.fromkeys(("NUMBA_NUM_THREADS", "OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"), "1"),
    }


def learner_options(home: Path) -> list[str]:
    """Return the options of a learner's server: the lesson view, and kernels without ports.

    The kernels' sockets are in the home, which only the learner enters, so nobody else on the
    machine can talk to them.
    """
    options = server_options(
        root=home, page="", port=0, token="", browser=False, workspaces=home / ".page" / "open"
    )
    return [
        *(one for one in options if not one.startswith(_OF_ONE_MACHINE)),
        f"--LabApp.user_settings_dir={home / '.page'}",
        "--KernelManager.transport=ipc",
    ]


def make_account(name: str, homes: Path) -> Path:
    """Make a learner's account and an empty home, unless they are there; return the home.

    Raises
    ------
    LabkitError
        If the machine refuses, or the account exists with another home.
    """
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


def _furnish(name: str, home: Path, compiled: str) -> None:
    """Let the learner's account lay its lessons."""
    account = pwd.getpwnam(name)
    environment = {"PATH": os.defpath, "LANG": "C.UTF-8", **_environment(home)}
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-m", "labkit.hall.home", compiled],
        user=account.pw_uid, group=account.pw_gid, extra_groups=[], umask=0o077,
        cwd=home, env=environment, capture_output=True, text=True, check=False,
    )  # fmt: skip
    if done.returncode != 0:
        said = done.stderr.strip().splitlines()[-1:] or ["no reason given"]
        raise LabkitError(f"{name}: the lessons can't be laid: {said[0][:200]}")
