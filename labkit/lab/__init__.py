"""JupyterLab on this machine, and the light home page that is there before it."""
