"""What a user can do: one verb a function, each inside one action that can be undone."""
