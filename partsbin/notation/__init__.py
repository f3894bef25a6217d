"""Trade notation: text to numbers in SI and back. Exact decimals inside; nothing is guessed without saying so.

Import what you need from its module, so that a command does not load the readers of families it never meets:
`quantity` (one value), `writing` (values as the trade writes them), `capacitor` and `transformer` (whole descriptions),
`reading` (what was understood), `scan` (tokens for the readers), `codes`, `marks`, `preferred`, `text`, `units`.
"""
