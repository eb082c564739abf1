"""User-facing words: one table per language, looked up by key. No other module holds a sentence for a person.

(Error messages of orders and profiles stand beside what they judge: they name TOML keys, which are the same in every
language.)
"""

from collections.abc import Callable

from . import en

LANGUAGES = {"en": en.TABLE}
Words = Callable[..., str]


def words(language: str = "en") -> Words:
    """``say(key, **values)``: the sentence of that key with its values filled in. Raises `KeyError` for an unknown key."""
    table = LANGUAGES[language]

    def say(key: str, **values: object) -> str:
        return table[key].format(**values)

    return say
