"""The studio that draws the sample art: an invented client's exhibit, from palette to finished files."""
