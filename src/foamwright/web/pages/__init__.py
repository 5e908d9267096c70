"""Pages: plain forms that work without script; `here.Here` is what each has at hand."""
