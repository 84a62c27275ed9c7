"""Reports for the maker: cost, stock, quotation, match, trace; and papers for the binder."""
