"""``[checks.RULE]`` and ``[[silence]]``: what an order or a shop changes of the rules, and what it does not want to hear.

The names of rules and of their numbers come in as plain data: this room knows no rule.
"""

import re
from collections.abc import Callable, Mapping
from typing import Any

from cattrs import BaseValidationError

from .. import profiles
from ..typed import Fault, Faults, Length, TableError, Title, flatten, make_converter, nearest, read_toml
from .records import RuleSettings, Severity, Silence

# names of rules → names of their numbers → units ("mm" is written as a length, "names" is a list of words); "all" holds what
# several rules share. Called only where a table asks for it
KnownRules = Callable[[], Mapping[str, Mapping[str, str]]]
SHARED = "all"
SHOP_FILE = "checks.toml"  # in the shop's folder of profiles
_MOST = 1e6  # ours: no number of a rule is larger
_ART = re.compile(r"[0-9a-fA-F]{8,64}")


def no_rules() -> Mapping[str, Mapping[str, str]]:
    """Of an order that is read for its sizes alone."""
    return {}


def rule_settings(value: Any, known: KnownRules) -> dict[str, RuleSettings]:
    """The tables below ``[checks]``, by rule. Raises `Faults`."""
    if not isinstance(value, Mapping):
        raise Fault(f"expected tables such as [checks.text-in-tuck], got {value!r}")
    rules = known() if value else {}
    faults: list[tuple[str, str]] = []
    found: dict[str, RuleSettings] = {}
    for name, table in value.items():
        if name not in rules:
            faults.append((name, f"no rule named {name!r}" + nearest(name, rules)))
        elif not isinstance(table, Mapping):
            faults.append((name, f"expected a table of keys, got {table!r}"))
        else:
            found[name] = _one(name, table, rules[name], faults)
    if faults:
        raise Faults(faults)
    return found


def _one(
    rule: str, table: Mapping[str, Any], numbers: Mapping[str, str], faults: list[tuple[str, str]]
) -> RuleSettings:
    converter = make_converter()
    keys = [*numbers, *(["severity"] if rule != SHARED else [])]
    severity: Severity | None = None
    given: dict[str, float] = {}
    names: dict[str, tuple[str, ...]] = {}
    for key, value in table.items():
        path = f"{rule}, {key}"
        if key not in keys:
            faults.append((path, "unknown key" + nearest(key, keys)))
            continue
        try:
            if key == "severity":
                severity = converter.structure(value, Severity)  # type: ignore[arg-type]
            elif numbers[key] == "names":
                names[key] = converter.structure(value, tuple[Title, ...])
            else:
                given[key] = _number(converter.structure(value, Length if numbers[key] == "mm" else float), value)
        except (BaseValidationError, Fault) as error:
            faults += flatten(error, path)
    return RuleSettings(severity, given, names)


def _number(number: float, value: object) -> float:
    if not 0 <= number <= _MOST:
        raise Fault(f"expected from 0 to {_MOST:,.0f}, got {value!r}")
    return number


def silence(plain: Callable[[Any, Any], Silence], value: Any, cls: type, known: KnownRules) -> Silence:
    """One ``[[silence]]``. Raises `Faults`, or what ``plain`` raises."""
    found = plain(value, cls)
    rules = [name for name in known() if name != SHARED]
    wrong = []
    if found.rule not in rules:
        wrong.append(("rule", f"no rule named {found.rule!r}" + nearest(found.rule, rules)))
    if not found.reason.strip():
        wrong.append(("reason", "expected the reason, which reports show"))
    if found.words and found.area:
        wrong.append(("area", "give either words or area"))
    if found.area and (len(found.area) != 4 or min(found.area[2:]) < 0):
        wrong.append(("area", "expected four lengths: x and y of its lower left, width, height, as reports give them"))
    if found.area and found.panel is None:
        wrong.append(("panel", "missing: an area is one of a panel"))
    if found.art and not _ART.fullmatch(found.art):
        wrong.append(("art", f"expected the first 8 or more hex digits of the file's SHA-256, got {found.art!r}"))
    if wrong:
        raise Faults(wrong)
    return found


def shop_settings(known: KnownRules) -> dict[str, RuleSettings]:
    """What the shop's own ``checks.toml`` sets, by rule; nothing where there is none. Raises `TableError`."""
    own = profiles.own_folder()
    if own is None or not (own / SHOP_FILE).exists():
        return {}
    tables = read_toml(own / SHOP_FILE, "file of rules")
    faults = [
        (key, "unknown key" + nearest(key, ("schema", "checks"))) for key in tables if key not in ("schema", "checks")
    ]
    if tables.get("schema") != 1:
        faults.append(("schema", f"expected 1, got {tables.get('schema')!r}" if "schema" in tables else "missing"))
    found: dict[str, RuleSettings] = {}
    try:
        found = rule_settings(tables.get("checks", {}), known)
    except (BaseValidationError, Fault) as error:
        faults += flatten(error, "checks")
    if faults:
        raise TableError(SHOP_FILE, faults)
    return found
