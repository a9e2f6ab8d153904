"""Parts of `tools/demo`: the stated truth of the invented tickets, and the simulation that draws them."""
