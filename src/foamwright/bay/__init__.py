"""The workshop: tools, rates, tape, allowances, prices."""
