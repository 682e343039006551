# Two commands do the job: `make site` builds everything, `make test` tests it; `make test-all` tests all of it.
# Both make their own virtual environment and install what they need.

PYTHON ?= python3
VENV   := .venv
BIN    := $(VENV)/bin
READY  := $(VENV)/.ready
NODE_READY := node_modules/.package-lock.json
JOBS   ?= $(shell nproc 2>/dev/null || echo 2)

AUDIT         := .venv-audit
OLDEST        := .venv-oldest
OLDEST_PYTHON ?= python3.11
PYTHONS       ?= python3.12 python3.13

# A file of tests stays on one worker, so that what it builds is built once.
PARALLEL := -n $(JOBS) --dist loadfile

export NO_MKDOCS_2_WARNING := 1

.PHONY: site test test-all test-js lint-js serve lint format bench soak oldest pythons pictures audit sbom clean help

help: ## Say what can be made
	@grep -hE '^[a-z-]+:.*## ' $(MAKEFILE_LIST) | sed -E 's/^([a-z-]+):.*## /  make \1\t/' | expand -t 18

site: $(READY) ## Build the site, the cab file, the cards and the classroom into site/
	$(BIN)/fortypaces build
	@echo
	@echo "Open site/index.html (the site), site/cab.html (the cab assistant, one file) or site/cards/ (print)."

test: $(READY) ## Lint, types, all quick tests and one browser walk of each product; minutes
	@.ci/provide-browsers
	$(MAKE) --no-print-directory lint lint-js test-js
	$(BIN)/python -m pytest $(PARALLEL) -m '(not browser or walk) and not long'

test-all: $(READY) ## The same with every test, what continuous integration runs
	@.ci/provide-browsers
	$(MAKE) --no-print-directory lint lint-js test-js
	$(BIN)/python -m pytest $(PARALLEL)

test-js: ## Run the scripts' own tests, where node is installed
	@if command -v node >/dev/null; then node --test tests/js/; else echo "node is not installed: the scripts' own tests are left out"; fi

lint-js: ## eslint, tsc and stylelint, where npm is installed; continuous integration demands it
	@if command -v npm >/dev/null; then $(MAKE) --no-print-directory $(NODE_READY) && npm run --silent lint; \
	else echo "npm is not installed: scripts and style sheets are not linted"; test -z "$$CI"; fi

serve: $(READY) ## Preview while you edit; a change in content/ reloads the page; prints no cards
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

soak: $(READY) ## Explore at random and for long: broken content, hostile words, killed builds
	@.ci/provide-browsers
	FORTYPACES_SOAK=1 $(BIN)/python -m pytest $(PARALLEL) -m soak

pictures: $(READY) ## Take the pictures of the README anew
	@.ci/provide-browsers
	$(BIN)/python -m tests.pictures

oldest: $(READY) ## Build and test with the lowest version of everything that is allowed
	@$(OLDEST_PYTHON) -c 'import sys; sys.exit(sys.version_info[:2] != (3, 11))' \
	  || { echo "The oldest Python allowed is 3.11: make OLDEST_PYTHON=/path/to/python3.11 oldest"; exit 1; }
	rm -rf $(OLDEST)
	$(OLDEST_PYTHON) -m venv $(OLDEST)
	$(BIN)/python -m tests.oldest > $(OLDEST)/oldest.txt
	$(OLDEST)/bin/python -m pip install --quiet --upgrade pip
	$(OLDEST)/bin/python -m pip install --quiet --constraint $(OLDEST)/oldest.txt --upgrade hatchling
	$(OLDEST)/bin/python -m pip install --quiet --constraint $(OLDEST)/oldest.txt --no-build-isolation --editable '.[pdf,sign,test]'
	$(OLDEST)/bin/python -m forty_paces build --site $(OLDEST)/site
	$(OLDEST)/bin/python -m pytest $(PARALLEL) -m 'not browser' \
	  tests/architecture tests/authoring tests/geometry tests/drawing tests/outputs/pages tests/commands

pythons: $(READY) ## Build with other Pythons and compare every byte
	@for python in $(PYTHONS); do \
	  home=.venv-$$(basename $$python) && rm -rf $$home && $$python -m venv $$home \
	  && $(BIN)/python -m pip freeze --exclude-editable > $$home/same.txt \
	  && $$home/bin/python -m pip install --quiet --constraint $$home/same.txt --editable '.[pdf]' \
	  && found=$$found:$$PWD/$$home/bin/python || exit 1; \
	done; \
	FORTYPACES_OTHER_PYTHON=$$found $(BIN)/python -m pytest tests/outputs/edition/test_reproducible.py -k another_python

audit: $(READY) ## Ask the advisory database about every installed package; needs a network
	@test -x $(AUDIT)/bin/pip-audit || { $(PYTHON) -m venv $(AUDIT) \
	  && $(AUDIT)/bin/python -m pip install --quiet 'pip-audit>=2.10,<3'; }
	@echo "Asking the Python Packaging Advisory Database, through the package index, about all that is in $(VENV)."
	@rm -f $(AUDIT)/report.json
	-@$(AUDIT)/bin/pip-audit --vulnerability-service pypi --skip-editable --progress-spinner off \
	  --path "$$($(BIN)/python -c 'import sysconfig; print(sysconfig.get_path("purelib"))')" \
	  --format json --output $(AUDIT)/report.json
	@$(BIN)/python -m tests.audit $(AUDIT)/report.json

sbom: $(READY) ## Write the bill of materials of a release, CycloneDX, into dist/
	@$(BIN)/python -m tests.bill dist/forty-paces.cdx.json

clean: ## Remove what was built and the environment
	rm -rf site node_modules .site-stage-* .site-retired-* $(VENV) .venv-* build dist *.egg-info .pytest_cache .mypy_cache .ruff_cache .hypothesis

$(READY): pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "Forty Paces needs Python 3.11 or newer: make PYTHON=python3.12 site"; exit 1; }
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --upgrade pip
	$(BIN)/python -m pip install --quiet --editable '.[pdf,sign,test]'
	@touch $@

$(NODE_READY): package.json package-lock.json
	npm ci --silent --no-audit --no-fund
	@touch $@
