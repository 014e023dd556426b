"""Who may come in: a number or short name, the word of the class, and a word of one's own.

The word of the class keeps strangers out. The own word, chosen at the first sign-in, keeps one
learner from signing in as another: with a class word alone, anyone could.
"""

import asyncio
import hashlib
import hmac
import json
import re
import secrets
from pathlib import Path
from typing import Any, Final
from weakref import WeakValueDictionary

from jupyterhub.auth import Authenticator
from traitlets import Unicode
from typing_extensions import override

from labkit.files import change, read_small

ACCOUNT: Final = "learner-{name}"
"""Name of a learner's account on the machine; so nobody signs in as one of the machine's own."""

LEAST: Final = 4  # letters that an own word has

MOST_NAMES: Final = 500
"""Names that a hall knows; past it nobody new comes in, and their file stays small."""

PAUSE: Final = 1.0
"""Seconds after a word that doesn't fit until the next one for the same name is looked at."""

_NAME: Final = re.compile(r"[a-z0-9]{1,16}")
_LARGEST: Final = 500_000
_LONGEST: Final = 200


def account_of(typed: str) -> str | None:
    """Return the account of a typed name, such as ``"17"`` or ``"amber"``; None for no name."""
    name = typed.strip().lower().removeprefix(ACCOUNT.format(name=""))
    return ACCOUNT.format(name=name) if _NAME.fullmatch(name) else None


class OwnWords:
    """The learners' own words, kept as salted digests in a file that only its owner reads."""

    def __init__(self, path: Path) -> None:
        self._path = path

    def fits(self, account: str, word: str) -> bool:
        """Whether `word` is the account's; the first word that comes is taken as its own."""
        if not LEAST <= len(word) <= _LONGEST:
            return False
        known = self._known().get(account)
        if known is None:
            salt = secrets.token_hex(16)
            self._keep(account, f"{salt} {_digest(salt, word)}")
            known = self._known().get(account, " ")
        salt, _, digest = known.partition(" ")
        return hmac.compare_digest(digest, _digest(salt, word))

    def forget(self, account: str) -> bool:
        """Let an account choose its word anew; say whether it had one."""
        if account not in self._known():
            return False
        self._keep(account, None)
        return True

    def _keep(self, account: str, told: str | None) -> None:
        def changed(_: Path) -> bytes:
            known = self._known()
            if told is None:
                known.pop(account, None)
            elif len(known) < MOST_NAMES:
                known.setdefault(account, told)  # of two who come at once, the first one's word
            return json.dumps(known, indent=0).encode()

        change(self._path, changed)

    def _known(self) -> dict[str, str]:
        try:
            known: dict[str, str] = json.loads(read_small(self._path, most=_LARGEST))
        except FileNotFoundError:
            return {}
        return known


def _digest(salt: str, word: str) -> str:
    return hashlib.scrypt(word.encode(), salt=salt.encode(), n=2**14, r=8, p=1).hex()


class ClassSignIn(Authenticator):  # type: ignore[misc] # it has no types
    """Signs in whoever knows the word of the class, and their own."""

    class_word = Unicode().tag(config=True)  # the word that the trainer tells the room
    own_words = Unicode().tag(config=True)  # file of the learners' own words

    def __init__(self, **given: Any) -> None:
        super().__init__(**given)
        self._turns: WeakValueDictionary[str, asyncio.Lock] = WeakValueDictionary()

    @override
    async def authenticate(self, handler: Any, data: dict[str, str]) -> str | None:
        """Return the account, or None if a word doesn't fit.

        Tries for one name wait for each other, so that a script guesses no faster than a person.
        """
        account = account_of(data.get("username", ""))
        told = data.get("class_word", "").strip().casefold()[:_LONGEST]
        is_here = hmac.compare_digest(told.encode(), self.class_word.strip().casefold().encode())
        if account is None or not is_here or not self.class_word.strip():
            return None
        words = OwnWords(Path(self.own_words))
        async with self._turns.setdefault(account, asyncio.Lock()):
            if await asyncio.to_thread(words.fits, account, data.get("password", "")):
                return account
            await asyncio.sleep(PAUSE)
        return None
