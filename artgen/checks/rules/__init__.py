"""The registry. A new rule is one file beside this one and one line here; `checks.md` of the docs lists them."""

from ..rule import Rule
from . import (
    art_ambiguous,
    art_extra,
    art_missing,
    bleed_missing,
    file_damaged,
    file_locked,
    file_misnamed,
    file_over_limit,
    lettering_possible,
    page_turned,
    page_wrong_size,
    text_crosses_corner,
    text_crosses_joint,
    text_crosses_seam,
    text_in_tuck,
    text_outside_safe,
)

RULES: tuple[Rule, ...] = (
    art_missing.RULE,
    art_ambiguous.RULE,
    art_extra.RULE,
    page_wrong_size.RULE,
    page_turned.RULE,
    bleed_missing.RULE,
    text_crosses_corner.RULE,
    text_crosses_joint.RULE,
    text_crosses_seam.RULE,
    text_in_tuck.RULE,
    text_outside_safe.RULE,
    lettering_possible.RULE,
    file_damaged.RULE,
    file_locked.RULE,
    file_over_limit.RULE,
    file_misnamed.RULE,
)
