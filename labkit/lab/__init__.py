"""JupyterLab on this machine, and the light home page that is there before it.

The home page has a server of its own, since JupyterLab takes seconds to load and the first compile
longer. What loads behind it gets its key on its input, not on a command line, and ends when that
input ends. A lesson's page hides JupyterLab's parts through its layout, for a style sheet leaves
gaps. It is run anew at each visit and filled in from the learner's file: keeping its outputs failed
once in four, and another day needs the file anyway. A kernel ends some minutes after its
page is closed: each kept 140 to 250 MB.
"""
