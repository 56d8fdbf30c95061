"""What benches tell the board, and what it tells them.

Pure: `protocol`, `story`, `ledger`, `views`, what is told of them, and `report`. `store` keeps lines, `hub` folds
them with `shared_bank` and `outbox` beside it, `door` lets in, `server` answers, `client` asks. Nothing here is
the truth: the records on the benches' own disks are.
"""
