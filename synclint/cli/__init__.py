"""The command line: a module a command, arguments, exit status."""
