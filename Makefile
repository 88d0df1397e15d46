SHELL := bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := run
MAKEFLAGS += --no-print-directory

export PORT ?= 8080
export DATA ?= data

BIN := .venv/bin
TESTS ?= tests
# What a database does is tried on both: on SQLite with everything else, and on a PostgreSQL of the tests' own.
ON_POSTGRESQL := tests/storage tests/sync tests/office $(wildcard tests/web/test_times*.py)

.PHONY: setup setup-test run test check bench engines soak lock wheel screenshots drawings icons clean library

setup: ## make .venv, static/vendor and static/app; quick when nothing changed
	@.ci/setup.sh run

setup-test:
	@.ci/setup.sh test

run: setup ## serve the demo shop on all interfaces: PORT=8080 DATA=data
	@$(BIN)/baybook serve --demo

# First those that need no browser, on every core; then the browser's, one after another, since they wait for real time.
# pytest's 5 says that a part of TESTS has none of the one kind.
test: setup-test ## all tests, the real browser included: TESTS=tests/core
	@$(BIN)/pytest -n auto --maxprocesses 8 -m "not browser" $(TESTS) || [ $$? -eq 5 ]
	@$(if $(filter tests,$(TESTS)),DATABASE=postgresql $(BIN)/pytest -n auto --maxprocesses 8 $(ON_POSTGRESQL))
	@$(BIN)/pytest -m browser $(TESTS) || [ $$? -eq 5 ]

check: setup ## formatter, linters, strict types, import law, procedures
	@.ci/check.sh

bench: setup-test ## measure, and write bench.json
	@$(BIN)/python -m tests.bench

engines: setup-test ## the offline job in Firefox ESR and WebKitGTK too
	@.ci/engines.sh

soak: setup-test ## a long night of new examples, random histories, rounds of faults and storms: FUZZ=2000 HISTORIES=20000 ROUNDS=200 OFFICE_SHOPS=200 OFFICE_JOBS=500 SEED=1
	@export SEED=$${SEED:-$$((RANDOM * 32768 + RANDOM))} PYTEST_ADDOPTS="-o faulthandler_timeout=0"; echo "SEED=$$SEED"; \
	$(BIN)/pytest -n auto --hypothesis-seed=$$SEED tests/core tests/sync tests/storage tests/web --deselect tests/sync/test_histories.py; \
	FUZZ=$${FUZZ:-2000} $(BIN)/pytest -n auto --hypothesis-seed=$$SEED tests/fuzz; \
	HISTORIES=$${HISTORIES:-20000} $(BIN)/pytest -n auto tests/sync/test_histories.py; \
	OFFICE_SHOPS=$${OFFICE_SHOPS:-200} OFFICE_JOBS=$${OFFICE_JOBS:-500} $(BIN)/pytest -s tests/office/test_storm.py; \
	ROUNDS=$${ROUNDS:-200} $(BIN)/pytest tests/browser/faults

screenshots: setup-test ## every kind of step at phone size, for the README's tour
	@$(BIN)/python -m tests.screenshots

drawings: setup-test ## every drawing on contact sheets in build/drawings: two vehicles, light, dark, print, mm, inches, Spanish
	@$(BIN)/python -m tests.screenshots.drawings build/drawings

icons: setup-test ## the app's icons from static/icons/baybook.svg
	@$(BIN)/python .ci/icons.py

wheel: setup ## dist/*.whl, with static/ and procedures/ inside
	@$(BIN)/python -m hatchling build -t wheel

lock: setup ## write the lock files anew from pyproject.toml and static/package.json
	@.ci/lock.sh

library: ## bring up to date what is made from the library: schemas, the files' first lines, the table
	.venv/bin/python .ci/library.py

clean: ## remove what these targets made; the shop's data stays
	rm -rf .venv build dist bench.json static/node_modules static/vendor static/app .mypy_cache .ruff_cache .pytest_cache .import_linter_cache
