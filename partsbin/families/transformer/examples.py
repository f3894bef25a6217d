"""Examples of each outcome: the contract test runs them."""

from partsbin.families._declare import Example

EXAMPLES: tuple[Example, ...] = ()
