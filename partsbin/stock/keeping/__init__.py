"""Looking a catalogue over: whether it says what its ledger says, and making anew what can be derived."""
