"""Neutral marks on named layers in; SVG, PDF and PNG out; and the one page maker of every paper."""
