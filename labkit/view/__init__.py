"""Pictures, words and sliders: everything a person sees, and nothing that is computed.

A view only reads a `labkit.trace.Trace`. Import the module that is needed; this package imports
none of them, so that a run from the command line never loads a widget.
"""
