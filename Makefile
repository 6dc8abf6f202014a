# The two commands: `make site` and `make test`. Everything lands in .venv, site/ and pocket-guide/.
PYTHON ?= python3
BIN := .venv/bin
# No build may depend on the machine's language or ask where to report.
export NO_MKDOCS_2_WARNING := 1
export PIP_DISABLE_PIP_VERSION_CHECK := 1

.PHONY: site test test-changed bench danger-points lint lock clean

site: .venv/ready
	@$(BIN)/kbgen build --kb kb_source --out site
	@$(BIN)/kbgen guide --kb kb_source --out pocket-guide

test: .venv/ready-dev
	@tests/chromium.sh
	@$(MAKE) --no-print-directory lint
	@$(BIN)/python -m pytest -n auto --dist worksteal

# What concerns what differs from the last commit, or FILES="...", in less than twenty seconds.
test-changed: .venv/ready-dev
	@$(BIN)/python -m tests.changed $(FILES)

lint: .venv/ready-dev
	@$(BIN)/ruff check .
	@$(BIN)/ruff format --check .
	@$(BIN)/mypy
	@$(BIN)/lint-imports

bench: .venv/ready-dev
	@tests/chromium.sh
	@$(BIN)/python -m tests.bench

# Learns anew what each word weighs for danger, from tests/data/search/danger.tsv.
danger-points: .venv/ready-dev
	@$(BIN)/python -m tests.bench.danger_points

# Writes the lock files anew from pyproject.toml; the only target that looks for newer versions.
lock:
	@$(PYTHON) -m venv .venv-lock && .venv-lock/bin/pip -q install uv
	@for lock in "requirements.lock --extra build" "requirements-dev.lock --extra build --extra dev"; do \
	  .venv-lock/bin/uv pip compile -q --universal --python-version 3.11 --generate-hashes \
	    --no-header --no-annotate --upgrade pyproject.toml -o $$lock; done
	@rm -rf .venv-lock

.venv/bin/python:
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "kbgen needs Python 3.11 or newer; name one: make $(MAKECMDGOALS) PYTHON=python3.12" >&2; exit 1; }
	@rm -rf .venv && $(PYTHON) -m venv .venv \
	  || { rm -rf .venv; echo "Python cannot make an environment; install its venv package: apt-get install python3-venv" >&2; exit 1; }

.venv/ready: .venv/bin/python requirements.lock pyproject.toml
	@[ -x $(BIN)/pip ] && $(BIN)/pip --version > /dev/null 2>&1 || { rm -rf .venv; $(PYTHON) -m venv .venv; }
	@echo "installing (locked versions) ..."
	@$(BIN)/pip install -q --require-hashes -r requirements.lock
	@$(BIN)/pip install -q --no-deps --no-build-isolation -e .
	@touch $@

.venv/ready-dev: .venv/ready requirements-dev.lock
	@echo "installing what the tests need (locked versions) ..."
	@$(BIN)/pip install -q --require-hashes -r requirements-dev.lock
	@touch $@

clean:
	@rm -rf .venv site pocket-guide build dist
