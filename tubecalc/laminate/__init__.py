"""The wall: plies, stacks, failure, and the rules that turn a thickness into plies."""
