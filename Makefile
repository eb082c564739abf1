# Everything that people, CI and developers run. Set-up happens by itself: each target makes what it needs.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin

.PHONY: help demo test test-slow lint types format bench lettering seen art pictures rules clean

help:
	@echo "make demo       set up, then run artgen on copies of the sample orders in demo/"
	@echo "make test       set up, then lint, types, tests, docs ties (8 minutes on two cores)"
	@echo "make test-slow  the long tests"
	@echo "make bench      the speed bars, as ratios"
	@echo "make lettering  how much lettering in pixels is found, on the labelled set"
	@echo "make art        draw the sample art anew"
	@echo "make pictures   draw the pictures of the README anew"
	@echo "make rules      write the rules into docs/checks.md anew"

$(VENV)/.made: pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
		{ echo "artgen needs Python 3.11 or newer: make demo PYTHON=python3.11"; exit 1; }
	@test -x $(BIN)/python || $(PYTHON) -m venv $(VENV) || \
		{ echo "Python's venv module is missing: on Debian and Ubuntu, apt-get install python3-venv"; exit 1; }
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable ".[reading]"
	@touch $@

$(VENV)/.made-test: $(VENV)/.made
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --editable ".[reading,test]"
	@touch $@

# libcairo is the one thing that pip can't bring: without it SVG art is not examined, and the report says so
.PHONY: cairo
cairo: $(VENV)/.made
	@$(BIN)/python -c 'import cairosvg' 2>/dev/null || { \
		if [ "$$(id -u)" = 0 ] && command -v apt-get >/dev/null; then \
			apt-get update -qq && apt-get install -y -qq libcairo2 >/dev/null; \
		elif command -v brew >/dev/null; then brew install --quiet cairo; fi; \
		$(BIN)/python -c 'import cairosvg' 2>/dev/null || \
		echo "libcairo is not here, so SVG art will not be examined. To bring it: sudo apt-get install libcairo2" \
			"(Debian, Ubuntu), sudo dnf install cairo (Fedora), brew install cairo (macOS)."; }

demo: $(VENV)/.made cairo
	$(BIN)/artgen demo demo

lint: $(VENV)/.made-test
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: $(VENV)/.made-test
	$(BIN)/mypy

test: lint types cairo
	$(BIN)/python -m pytest -n auto

test-slow: $(VENV)/.made-test cairo
	$(BIN)/python -m pytest -n auto -m slow

format: $(VENV)/.made-test
	$(BIN)/ruff check --fix .
	$(BIN)/ruff format .

bench: $(VENV)/.made-test cairo
	$(BIN)/python benchmarks/run.py

seen: $(VENV)/.made-test cairo
	$(BIN)/python benchmarks/seen/measure.py

lettering: $(VENV)/.made-test cairo
	$(BIN)/python benchmarks/lettering/measure.py

pictures: $(VENV)/.made-test cairo
	$(BIN)/python docs/draw_pictures.py

rules: $(VENV)/.made
	$(BIN)/python docs/write_rules.py

art: $(VENV)/.made-test
	$(BIN)/python sample_art/draw.py

clean:
	rm -rf $(VENV) demo build dist .pytest_cache .mypy_cache .ruff_cache .hypothesis
