PYTHON ?= python3

.PHONY: setup demo test guide
setup demo test guide:
	@SERVE=$(SERVE) $(PYTHON) tools/run.py $@
