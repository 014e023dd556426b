"""One Linux machine that serves a room: each learner signs in with a browser and gets a lesson.

`hub` starts JupyterHub and writes its settings, `signin` knows who may come in, `spawner` starts a
learner's own server under an account of the learner's own (one for all keeps nobody apart), and
`home` makes what that account finds. Nothing but `hub` runs with an administrator's
rights and touches a learner's folder.

`copies` is one process, loaded once and frozen for the garbage collector, that copies itself for
each server and kernel: loading costs 4 s of processor time and 200 MB, a copy a tenth of a second.
A server is handed a socket that the hub has bound, since a port that is looked up first may be
taken a second later. However the hall ends, all of it does: each part is asked to by the system
once its parent is gone. For 24 learners on two busy processors all were in after 26 s at 101 MiB
each, and nine moves in ten took under 26 ms (``tests/hall/test_load.py``).

What it leaves out
------------------
* There is no quota: one learner can fill the disk. The address is plain http, for a room's own
  network.
* All servers have one address: whoever puts a page in place of theirs and gets another learner to
  open it acts as that learner. Only an address for each would end this.
* The files for Kubernetes (`county/`) have run on no cluster; there the trainer's overview can't
  read the learners' disks, so collect their files.
"""
