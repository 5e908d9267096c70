"""Reading what people write: TOML with line numbers, lengths, stations, problems."""
