"""What to do about a line: where its switch must stand, how big its tank must be.

Everything here is worked out from the engine's steady residual and short runs of it; words and
pictures are made elsewhere.
"""
