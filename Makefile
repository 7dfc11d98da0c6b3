# Everything a newcomer needs: `make demo` and `make test` work as the first command on a machine
# with Python 3.11 or later and make. Both build the environment in .venv first.

PYTHON ?= $(shell for p in python3 python3.13 python3.12 python3.11 python; do \
	$$p -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null && echo $$p && break; \
	done)
VENV := .venv
BIN := $(VENV)/bin
PIP := PIP_DISABLE_PIP_VERSION_CHECK=1 $(BIN)/python -m pip install --quiet
# tests run on this many processes
JOBS ?= auto

.PHONY: help demo test check bench clean

help:
	@echo "make demo    the app with two invented tanks, in your browser"
	@echo "make test    all tests"
	@echo "make check   style, types and the direction of imports"
	@echo "make bench   timings beside general libraries"
	@echo "make clean   take away .venv and all caches"

demo: $(VENV)/.run
	@$(BIN)/leafgill serve --demo

test: $(VENV)/.dev
	$(BIN)/python -m pytest -n $(JOBS) --dist loadgroup $(ARGS)

check: $(VENV)/.dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/lint-imports

bench: $(VENV)/.dev
	$(BIN)/python bench/equilibrium.py
	$(BIN)/python bench/model.py
	$(BIN)/python bench/bubbles.py
	$(BIN)/python -m bench.belief
	$(BIN)/python bench/web_import.py
	$(BIN)/python bench/web_today.py
	$(BIN)/python bench/calibration.py --tanks 12
	$(BIN)/python -m bench.live_http --seconds 60
	$(BIN)/python -m bench.live_mqtt --seconds 60

$(BIN)/python:
	@test -n "$(PYTHON)" || { echo "Python 3.11 or later is needed; none was found" >&2; exit 1; }
	$(PYTHON) -m venv $(VENV)

$(VENV)/.run: pyproject.toml constraints.txt | $(BIN)/python
	$(PIP) -c constraints.txt -e .
	@touch $@

$(VENV)/.dev: pyproject.toml constraints.txt | $(BIN)/python
	$(PIP) -c constraints.txt -e '.[dev]'
	@touch $@ $(VENV)/.run

clean:
	rm -rf $(VENV) .pytest_cache .mypy_cache .ruff_cache .hypothesis .import_linter_cache .benchmarks
	find . -name __pycache__ -type d -prune -exec rm -rf {} +
