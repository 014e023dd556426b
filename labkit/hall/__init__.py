"""One Linux machine that serves a room: each learner signs in with a browser and gets a lesson.

`hub` starts JupyterHub and writes its settings, `signin` knows who may come in, `spawner` starts a
learner's own server under an account of the learner's own, and `home` makes what that account
finds. Nothing but `hub` runs with an administrator's rights and touches a learner's folder.
"""
