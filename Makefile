# Two commands do the job: `make site` builds everything, `make test` proves it.
# Both make their own virtual environment and install what they need.

PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
READY  := $(VENV)/.ready
JOBS   ?= 2

export NO_MKDOCS_2_WARNING := 1

.PHONY: site test serve lint format bench fuzz pictures audit clean help

help: ## Say what can be made
	@grep -hE '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/^([a-z-]+):.*## /  make \1\t/' | expand -t 18

site: $(READY) ## Build the site, the cab file, the cards and the classroom into site/
	$(BIN)/fortypaces build
	@echo
	@echo "Open site/index.html (the site), site/cab.html (the cab assistant, one file) or site/cards/ (print)."

test: $(READY) ## Lint, check types and run every test, browsers included
	@.ci/provide-browsers
	$(MAKE) --no-print-directory lint
	$(BIN)/python -m pytest -n $(JOBS) --dist loadgroup

serve: $(READY) ## Preview while you edit; a change in content/ reloads the page
	$(BIN)/mkdocs serve

lint: $(READY) ## ruff and mypy --strict
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy

format: $(READY) ## Put the code in the house format
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

bench: $(READY) ## Measure, as ratios side by side in one run
	$(BIN)/python -m tests.bench

fuzz: $(READY) ## The long fuzz run: 20,000 cases
	FORTYPACES_FUZZ=20000 $(BIN)/python -m pytest tests/authoring -k fuzz -q

pictures: $(READY) ## Take the pictures of the README anew
	@.ci/provide-browsers
	$(BIN)/python -m tests.pictures

audit: $(READY) ## Look the installed packages up in the advisory database
	$(BIN)/python -m pip install --quiet 'pip-audit>=2.7,<3'
	$(BIN)/pip-audit --skip-editable

clean: ## Remove what was built and the environment
	rm -rf site .site-stage-* .site-retired-* $(VENV) build dist *.egg-info .pytest_cache .mypy_cache .ruff_cache .hypothesis

$(READY): pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "Forty Paces needs Python 3.11 or newer: make PYTHON=python3.12 site"; exit 1; }
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --upgrade pip
	$(BIN)/python -m pip install --quiet --editable '.[pdf,test]'
	@touch $@
