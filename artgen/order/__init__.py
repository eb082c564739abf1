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
    Settings,
    Structure,
    Wrap,
)

__all__ = [
    "Art",
    "BayRow",
    "EdgeSettings",
    "KeepOut",
    "Mail",
    "Order",
    "PanelSettings",
    "Settings",
    "Structure",
    "Wrap",
    "from_tables",
    "load",
    "order_file",
]
