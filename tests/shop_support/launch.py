"""Runs the command line as a person does, for tests that need a program of its own."""

from foamwright.cli import main

if __name__ == "__main__":
    main.COMMANDS.setdefault("serve", "the app in a browser")
    main.COMMANDS.setdefault("shop", "back up, restore, check and export the app's database")
    main.run()
