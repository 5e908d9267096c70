"""The commands, one module each: HELP is in main.COMMANDS, add_arguments and run are here."""
