"""The engine: a Site as flat SI arrays, one residual, and time.

``plant`` (Site to arrays) → ``network`` (the residual and its solution) → ``step`` (one implicit
step) → ``loop`` (switching, recording) → ``run`` (`simulate`). What the drive hears of switch and
sensors: ``wiring``, ``signals``.
"""
