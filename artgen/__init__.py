"""artgen: panel sizes, templates, art checks and proofs for fabric-dressed display frames."""

__version__ = "0.1.0"
