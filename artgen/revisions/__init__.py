"""Revisions A, B, C …: an order and a job to folders that are never overwritten, each bound into the record.

`inputs` = all that a proof is made from, by hash; `making` makes a revision, whole or not at all.
"""
