# demo: the demo game, from a fresh clone to a report      test: everything that must hold
# bench: measured figures, written to docs/                fits: every model again
PYTHON ?= python3
VENV   ?= .venv
BIN    := $(VENV)/bin
SHARED ?= ../shared/data

.PHONY: demo test lint types bench fits docs clean

demo: $(VENV)/.installed
	@$(BIN)/pointsleft demo

test: $(VENV)/.dev lint types
	$(BIN)/python -m pytest
	$(BIN)/python -m pytest --doctest-modules --doctest-glob='*.md' models simulator docs/glossary.md
	$(MAKE) --no-print-directory demo

lint: $(VENV)/.dev
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: $(VENV)/.dev
	$(BIN)/mypy

bench: $(VENV)/.bench
	env -u OPENBLAS_CORETYPE -u OPENBLAS_L2_SIZE $(BIN)/python -m pointsleft.bench

fits: $(VENV)/.dev
	env -u OPENBLAS_CORETYPE -u OPENBLAS_L2_SIZE $(BIN)/pointsleft fit \
	  $(if $(wildcard $(SHARED)/participation_2016_2019.parquet),--participation $(SHARED)/participation_2016_2019.parquet) \
	  $(if $(wildcard $(SHARED)/games_2009_2019.csv),--games $(SHARED)/games_2009_2019.csv) \
	  --refits 100

docs: $(VENV)/.dev
	$(BIN)/python -m pointsleft.reference

$(VENV)/bin/python:
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --upgrade pip

$(VENV)/.installed: $(VENV)/bin/python pyproject.toml
	$(BIN)/python -m pip install --quiet --editable .
	@touch $@

$(VENV)/.dev: $(VENV)/.installed
	$(BIN)/python -m pip install --quiet --editable '.[dev,archive]'
	@touch $@

$(VENV)/.bench: $(VENV)/.dev
	$(BIN)/python -m pip install --quiet --editable '.[dev,archive,bench]'
	@touch $@

clean:
	rm -rf $(VENV) out build dist .pytest_cache .mypy_cache .ruff_cache
