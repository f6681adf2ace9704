"""The command line: one module a command, which reads its options, calls the library and prints; no logic."""
