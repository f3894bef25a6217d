"""The set on the bench: what is known of it, and what follows from that."""

from partsbin.sets.facts import FACTS, Fact, SetFacts, read_facts

__all__ = ["FACTS", "Fact", "SetFacts", "read_facts"]
