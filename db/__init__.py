"""The company file: tables, migrations, backups, and the questions and commands the program has for it."""
