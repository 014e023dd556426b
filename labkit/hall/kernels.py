"""A kernel that is a copy of the process which has the lessons loaded, see `labkit.hall.copies`."""

import os
from pathlib import Path
from typing import Any, Final

from jupyter_client.provisioning.local_provisioner import LocalProvisioner
from typing_extensions import override

from labkit.hall.copies import KERNEL, copy_for

WHERE: Final = "LABKIT_COPIES"  # variable of the environment that names the socket


class CopiedKernel(LocalProvisioner):
    """What a server does with its kernels, but for how they begin."""

    @override
    async def launch_kernel(self, cmd: list[str], **kwargs: Any) -> Any:
        """Ask for a copy in place of a new Python; what follows the module's name is its own."""
        words = cmd[cmd.index("ipykernel_launcher") + 1 :]
        cwd = str(kwargs.get("cwd") or Path.cwd())
        copy = copy_for(os.environ[WHERE], KERNEL, words, env=kwargs["env"], cwd=cwd)
        self.process: Any = copy
        self.pid, self.pgid, self.cwd = copy.pid, copy.pid, cwd
        return self.connection_info
