"""Cost, price, net, shares."""
