"""Our closed forms held against a circuit simulator: `python -m tests.circuit.simulator` prints the worst errors."""
