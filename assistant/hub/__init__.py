"""What benches tell the board, and what it tells them.

`protocol`, `story`, `ledger`, `facts`, `views` and `report` are pure; `store` keeps lines, `hub` folds them,
`server` listens, `client` asks. Nothing here is the truth: the records on the benches' own disks are.
"""
