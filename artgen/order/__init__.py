"""`order.toml` to a validated order in millimetres; is handed the table of kinds."""

from .reading import from_tables, load, order_file
from .records import (
    Art,
    BayRow,
    EdgeSettings,
    KeepOut,
    Mail,
    Order,
    PanelSettings,
    RuleSettings,
    Settings,
    Silence,
    Structure,
    Wrap,
)
from .rule_tables import SHOP_FILE, shop_settings

__all__ = [
    "SHOP_FILE",
    "Art",
    "BayRow",
    "EdgeSettings",
    "KeepOut",
    "Mail",
    "Order",
    "PanelSettings",
    "RuleSettings",
    "Settings",
    "Silence",
    "Structure",
    "Wrap",
    "from_tables",
    "load",
    "order_file",
    "shop_settings",
]
