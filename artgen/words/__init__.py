"""User-facing words: one table per language, looked up by key. No other module holds a sentence for a person.

(Error messages of orders and profiles stand beside what they judge: they name TOML keys, which are the same in every
language.)
"""

import unicodedata
from collections.abc import Callable

from . import en, en_checks, en_marks, en_record, en_report, en_rules, en_shop, en_template

_OTHERS = (
    en_checks.CHECKS,
    en_rules.RULES,
    en_marks.MARKS,
    en_report.REPORT,
    en_shop.SHOP,
    en_template.TEMPLATE,
    en_record.RECORD,
)
LANGUAGES = {"en": en.TABLE | {key: text for table in _OTHERS for key, text in table.items()}}
Words = Callable[..., str]


def words(language: str = "en") -> Words:
    """``say(key, **values)``: the sentence of that key with its values filled in. Raises `KeyError` for an unknown key."""
    table = LANGUAGES[language]

    def say(key: str, **values: object) -> str:
        return table[key].format(**{name: plain(v) if isinstance(v, str) else v for name, v in values.items()})

    return say


def plain(text: str) -> str:
    """Foreign text as it may stand in a report: what steers a terminal or turns the reading direction is spelt out, so
    that a file's name or a word of its art can't pass for something else."""
    return "".join(c if unicodedata.category(c)[0] != "C" else _spelt(c) for c in text)


def _spelt(char: str) -> str:
    return f"\\u{ord(char):04x}"
