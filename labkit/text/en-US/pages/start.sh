#!/bin/sh
# Installs labkit from this stick, without internet, and opens the first lesson.
here="$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)"
home="${LABKIT_HOME:-$HOME/labkit-lessons}"
for python in {{pythons}} python3; do
  command -v "$python" >/dev/null 2>&1 && break
done
if ! command -v "$python" >/dev/null 2>&1; then
  echo "Python is missing. Open READ_ME_FIRST.html on the stick: it says what to install."; exit 1
fi
if [ ! -x "$home/.venv/bin/labkit" ]; then
  echo "Setting up in $home. This takes a few minutes."
  mkdir -p "$home" && "$python" -m venv "$home/.venv" || {
    echo "$home can't be set up. Set LABKIT_HOME to a folder of yours and start again."; exit 1
  }
fi
echo "Copying from the stick ..."
"$home/.venv/bin/python" -m pip install --no-index --find-links "$here/wheels" --upgrade labkit \
  || { echo "This stick doesn't fit this laptop. READ_ME_FIRST.html says what fits."; exit 1; }
exec "$home/.venv/bin/labkit" open --in "$home" "$@"
