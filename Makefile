SHELL := bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := run

export PORT ?= 8080
export DATA ?= data
BIN := .venv/bin

.PHONY: setup setup-test run test check bench lock wheel screenshots clean

setup: ## .venv and static/vendor; quick when nothing changed
	@.ci/setup.sh run

setup-test:
	@.ci/setup.sh test

run: setup ## serve the demo shop: PORT=8080 DATA=./data
	$(BIN)/baybook serve --demo
