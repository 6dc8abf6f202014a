"""What is worked out from the entries: nothing here reads files or knows markup."""
