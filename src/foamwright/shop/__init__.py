"""The shop's database: people, boards, stock, jobs, readings, who may come in, and what happened."""
